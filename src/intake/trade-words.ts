// Words of the trade that slips of the keyboard are led back to, and right English words that lie one letter from them.
// mend-words.ts uses both; words of the knowledge base are known besides and are never changed.

/** Five letters or more; the only words that a slip is corrected to. */
export const tradeWords: readonly string[] = (
  'accelerate accelerated accelerates accelerating acceleration adaptation adaptations additive additives airflow ' +
  'alternator alternators analyser analyzer antifreeze backfire backfires backfiring batteries battery bearing bearings ' +
  'bellows black blinking blinks blowing bluish bonnet brakes breather burning burns cabin camshaft camshafts canister ' +
  'carburetor carburettor catalyst catalysts catalytic changed changing checked checking cleaned cleaner cleaning ' +
  'cleared clutch coasting codes coils compression connector connectors constantly consumption converter converters ' +
  'coolant coolants crankcase cranking cranks crankshaft cruising cylinder cylinderhead cylinders dashboard dealer ' +
  'decelerating deceleration diagnosed diagnosis diagnostic disconnected distributor distributors downpipe downstream ' +
  'economy emission emissions emitted engine engines exhaust exhausts filling filter fitted flashes flashing flickering ' +
  'flickers flooded flooding fluctuates fluctuating flywheel fumes gallon gallons garage gasket gaskets gasoline ' +
  'gearbox glowing glows harness headache heater hesitant hesitate hesitated hesitates hesitating hesitation highway ' +
  'hissing hoses hunting hydrocarbon hydrocarbons idled idles idling ignition immediately injected injection injector ' +
  'injectors inspection inspections installed intake intercooler intermittent intermittently jerking jerks juddering ' +
  'judders kilometers kilometres knocking lambda leaking leaks lifters light lights liters litre litres lurches ' +
  'manifold manifolds mechanic mechanics mileage misfire misfired misfires misfiring momentarily monoxide motor ' +
  'motorway muffler multimeter nitrogen occasionally odometer overheat overheated overheating overheats oxygen pending ' +
  'percent petrol pinging piston pistons plugs premium pressure pressures puffs purge quart quarts radiator radiators ' +
  'rattle rattles rattling reading readings refilled refuelled refuelling regulator regulators replace replaced ' +
  'replacing reset rotor rotten rough roughly scanner scanners sensor sensors shakes shaking shuddering shudders ' +
  'silencer sluggish sluggishness smell smelling smells smoke smoked smokes smokey smoking solenoid solenoids sometimes ' +
  'soot sooty speedometer splutter spluttered sputter sputtered sputters stall stalled stalling stalls starting starts ' +
  'steaming stopped stored stumble stumbled stumbles stumbling stutter stuttered stutters suddenly sulfur sulphur ' +
  'supercharger surge surged surges surging swapped tailpipe tappets technician temperature temperatures terminal ' +
  'terminals thermostat thermostats throttle throttles ticking tickover timing topped topping towing transmission ' +
  'transmissions trims turbo turbocharger unleaded unplugged uphill upstream vacuum valve valves vibrates vibrating ' +
  'vibration voltage voltages warning wastegate whistle whistling white windscreen wires wiring workshop'
).split(' ');

/** One letter from a word of the trade, and meant as they stand. */
export const rightWords: readonly string[] = (
  'admissions allowing appealing average barking barns barrier basket battle battles bender bending blank blanking ' +
  'blanks bleeding blending blinding blink blinkers block blocks boiling bottle bowing braces bracket brackets brake ' +
  'braking brave break breaking breaks breathe breeding bright bringing brittle browning browsing burnt carriage ' +
  'carrier casing casino casket cattle censor change changer changes charged charging checker cheering chilling chime ' +
  'choosing chosen clanking clean cleans cleansed cleansing clear clearer clearing clears clicking climb clime clinking ' +
  'cloaking clocking closing coals codec codecs coded coder coiling coins colts comes commission converted cooling ' +
  'cools copes cores cracking cracks cramping crank creaking crime croaking crossing crowing cursing cylindrical damage ' +
  'damaged damages dashboards dealers dealing deals dealt diagnostics downstreams dressing drinking drowning eight ' +
  'eighth emits emitter ending falling fearing feeling fender fenders fight filer filing filler filters flanking ' +
  'flashed flight flowing flushes flushing foiling following franking fright fuses garages garbage gaskin gearing ' +
  'gender globs growing grows hated haunting header healing hearing hearted heated heather heating heeling height ' +
  'hiding hinted hinting holes homes honest hoped hopes horses hosed hosts houses hurting image installer kettle ' +
  'lacking leading leads leafs leaky leaning leaping leaps learning leasing leaving lender lending libre licking ' +
  'lighter lighting lightly lightning linking liter loading locket locking looking loosing losing lowing manage managed ' +
  'manager manifest mansion marking massage massing medal mending message messing metal mettle might mileages ' +
  'missing mission missions monitor motion motored motors muffle nearing nettle night nursing omission overhead ' +
  'overheads oxide oxides oxidized oxygenated package packet parking parsing passage passing patrol pausing pedal ' +
  'pedals peeling pension percents permission petal petals petrel petroleum piling pillage pilling pinning planking ' +
  'pleasure plowing plumb plumbs plums pluses pocket poling posing pranking preheating premier premise pressing ' +
  'pressurized prime primer promise pulling pulsing purged purger purges purse pursing quant quark quarto quartz racing ' +
  'raising rating rattled rattler rattlers reeling reheating relating remission render repealing repeating replacer ' +
  'replaces replaying replying reputing reseating resent resets resetting resting revealing riding right rising rocket ' +
  'rolling rotating rotted rowing sausage scanned scored sealing selling sells sender senders sending senior sense ' +
  'senses sensory settle shades shading shake shaker shall shapes shaping shares sharing shaves sheering shell shelling ' +
  'shells shifting shilling shirting shrinking shudder sight silence silenced silences sinking slight slightly slowing ' +
  'slugs small smarter smarts smile smiled smiles smiling smock smoker smokers snapped sniffing soaking socket sockets ' +
  'soiling sometime spanner spanners spark sparkle sparks spell spelling spells spieling spilling splitter spoke spoken ' +
  'spokes sports spots stable stables stack stacks stale staling stalk stalking stalks stapled stapling staring ' +
  'starling starring stars start starving stating stats stealing steering stepped stick sticks still stoked stokes ' +
  'stomped stone stones storage store stores stove stowage stuffing submission sulphate swapper tacking tackling taking ' +
  'talking taming tanking tearing tender tenders tending tension tensor terrier testing texting thanking thicking ' +
  'thinking throttled throttling tickling tight tiling timings tiring toiling tracking trading training treating ' +
  'tricking trickling tries trips trucking trying tuning turning upstreams usage vacant vacate vacuumed vacuums vending ' +
  'version village voter waning wares waring warming warnings warping warring wearing weight while whine whistles wiles ' +
  'wines winking wiped wipes wired wives wright write' +
  ' analyze analyzed analyzes analyzers analyse analysed analyses analysers streaming casting unloaded serge flicker wiping stemming replayed reaping liners shoot shoots wring tapped bellow cleaver lightweight stemmed technicians checkins snell reding coles liner shot wiper wipers soaked sacked socked'
).split(' ');

/** Slips in words too short to be corrected by rule. */
export const shortSlips: ReadonlyMap<string, string> = new Map([
  ['idel', 'idle'],
  ['ilde', 'idle'],
  ['smel', 'smell'],
  ['smok', 'smoke'],
  ['smke', 'smoke'],
  ['stal', 'stall'],
  ['gass', 'gas'],
  ['leek', 'leak'],
  ['lite', 'light'],
  ['ligt', 'light'],
  ['lihgt', 'light'],
  ['ruff', 'rough'],
  ['brks', 'brakes'],
  ['oli', 'oil'],
  ['vacume', 'vacuum'],
  ['vaccume', 'vacuum'],
  ['guage', 'gauge'],
  ['shuder', 'shudder'],
  ['jurk', 'jerk'],
  ['fule', 'fuel'],
  ['feul', 'fuel'],
  ['fual', 'fuel'],
  ['catylitic', 'catalytic'],
  ['catalitic', 'catalytic'],
  ['catalyitic', 'catalytic'],
]);
