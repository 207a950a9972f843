// Words for running conditions, separated by ` | `; under `none` those that hold such a word and mean something else ("rough idle").
// conditions.ts reads with them.
import type { Condition } from '../vocabulary/quantities.ts';

/** Words of each condition. */
export const conditionWords: Readonly<Record<Condition | 'none', string>> = {
  idle:
    'idle | idling | idles | at idle | natural idle | slow idle | normal idle | hot idle | warm idle' +
    ' | base idle | tickover | tick over | ticking over | low idle | idle test | low speed test' +
    ' | idling in park | in park | at a stop | at stop | ralenti | stationary | idleing | ideling' +
    ' | idel | curb idle | at rest | stopped at lights | warm at idle | parked | idle speed test',
  '2500rpm':
    'fast idle | high idle | raised idle | first fast idle | second fast idle | 1st fast idle' +
    ' | 2nd fast idle | fast idle test | high speed test | 2500 | 2500 rpm | 2500rpm | 2,500 rpm' +
    ' | revved | when revved | raised revs | elevated idle | high speed idle | 2.5k | 2500rpms' +
    ' | at 2500 | revving it | when revving | no load at 2500 | 2500 no load | off idle | above idle' +
    ' | higher rpm | higher rpms | higher revs | increased idle',
  cruise:
    'cruise | cruising | at cruise | highway cruise | highway | on the highway | motorway' +
    ' | on the motorway | freeway | on the freeway | steady speed | steady cruise | light load' +
    ' | part throttle | steady throttle | light throttle | highway speed | highway speeds' +
    ' | motorway speed | cruising speed | at speed | steady state | cruse | light cruise | interstate' +
    ' | while driving | when driving | driving | on the road | driving along',
  load:
    'wot | wide open | wide open throttle | full throttle | under load | full load | accelerating' +
    ' | acceleration | hard acceleration | on acceleration | foot down | flat out | heavy throttle' +
    ' | on boost | floored | heavy load | pulling hard | hard pull | going uphill | uphill | climbing' +
    ' | under acceleration | full power | high load | pedal to the floor | foot to the floor | loaded' +
    ' | when loaded | 5015 | 2525 | snap throttle | under boost | up a hill | up hills | when floored' +
    ' | at load',
  cold:
    'cold | when cold | cold start | stone cold | cold engine | on a cold start | from cold' +
    ' | engine cold | cold idle | still cold | on start up | at startup | at start up | on startup' +
    ' | before warm up | warming up | open loop | at cold start | on cold start',
  'key-on':
    'key on | koeo | ignition on | key on engine off | engine off | ign on | key on, engine off' +
    ' | ignition on engine off | engine not running | with the key on | key-on | with ignition on' +
    ' | ignition only | koe0 | key in on',
  overrun:
    'overrun | decel | deceleration | decelerating | coasting | coast | engine braking | off throttle' +
    ' | lift off | lifting off | fuel cut | on the overrun | coast down | over run | closed throttle' +
    ' | letting off | foot off | foot off the gas | slowing down',
  'cruise-steady': '',
  'after-refuelling':
    'after refuelling | after refueling | after filling up | after fuelling | after a fill up' +
    ' | after fill up | after getting gas | just filled up',
  none:
    'rough idle | idle rough | idles rough | idling rough | idles fine | idle air | idle air control' +
    ' | idle valve | idle control | idle speed | cold air intake | cold air | cold weather' +
    ' | highway mpg | highway miles | highway mileage | mostly highway | city and highway' +
    ' | highway and city | uneven idle | lumpy idle | idle bypass | poor idle | bad idle | idle quality' +
    ' | hunting idle | surging idle | idles well | idles ok | idle is rough | idle screw | idle circuit' +
    ' | cold plugs | cold side | hot or cold | cold outside | highway driving | wide open loop' +
    ' | steady idle | idle stop | low power | drives fine | driving me | load of | cold days' +
    ' | cold mornings | poor acceleration | hesitation on acceleration | hesitates on acceleration' +
    ' | sluggish acceleration | calculated load | engine load | load value | absolute load | loads' +
    ' | cold beer | driving home | keep driving | driving it | driving the | stop driving' +
    ' | city driving | idles smoothly | idle drops | idles high | idles low | closed throttle position' +
    ' | idle surge | is parked | was parked | parked it | cold starts',
};
