// Names of the units and how people type them, separated by ` | `. units.ts reads with them; a new spelling is added here.

export type UnitId =
  | 'percent'
  | 'volt'
  | 'millivolt'
  | 'milliampere'
  | 'microampere'
  | 'rpm'
  | 'kilopascal'
  | 'megapascal'
  | 'bar'
  | 'millibar'
  | 'psi'
  | 'inch-mercury'
  | 'millimetre-mercury'
  | 'inch-water'
  | 'celsius'
  | 'fahrenheit'
  | 'degree'
  | 'kilometre'
  | 'mile'
  | 'km-per-hour'
  | 'mile-per-hour'
  | 'mile-per-gallon'
  | 'mile-per-us-gallon'
  | 'mile-per-imperial-gallon'
  | 'litre-per-100-km'
  | 'km-per-litre'
  | 'gram-per-second'
  | 'kilogram-per-hour'
  | 'pound-per-minute'
  | 'ppm'
  | 'ohm'
  | 'kilohm'
  | 'megohm'
  | 'millisecond'
  | 'second'
  | 'gram-per-km'
  | 'gram-per-mile'
  | 'litre'
  | 'cubic-centimetre'
  | 'cubic-inch'
  | 'hertz'
  | 'per-10-seconds'
  | 'to-one'
  | 'mile-per-quart'
  | 'mile-per-litre'
  | 'quart-per-1000-miles'
  | 'litre-per-1000-miles'
  | 'litre-per-1000-km';

/** Spellings of each unit. */
export const spellings: Readonly<Record<UnitId, string>> = {
  percent: '% | percent | per cent | pct | prozent | % vol | vol % | %vol | percentage points',
  volt: 'v | volt | volts | vdc | v dc | volts dc | vots | vlots',
  millivolt: 'mv | millivolt | millivolts | m v',
  milliampere: 'ma | milliamp | milliamps | milliampere',
  microampere: '\u03bca | ua | microamps',
  rpm:
    "rpm | rpms | rpm's | r p m | revs | rev/min | revs per minute | revs/min | 1/min | u/min | rev" +
    ' | rp m | rmp | tr/min',
  kilopascal: 'kpa | kilopascal | kilopascals | k pa',
  megapascal: 'mpa | megapascal',
  bar: 'bar | bars',
  millibar: 'mbar | millibar | hpa | millibars',
  psi:
    'psi | p s i | psig | lbs of pressure | pounds of pressure | lb of pressure | lbs/in' +
    ' | pounds per square inch | pounds | lbs | lb | psi of boost',
  'inch-mercury':
    'inhg | in hg | in. hg | inches of mercury | inches hg | inches of hg | in of hg | inches vacuum' +
    ' | inches of vacuum | inches of vac | in of vacuum | " hg | "hg | " of vacuum | " vacuum' +
    ' | "hg vacuum | in vacuum | inch of vacuum | hg | hg of vacuum | inches mercury',
  'millimetre-mercury': 'mmhg | mm hg | mm of mercury',
  'inch-water': 'inh2o | in h2o | inches of water | "h2o | " of water',
  celsius:
    'c | \u00b0c | deg c | degc | degrees c | celsius | degrees celsius | deg celsius | centigrade' +
    ' | degrees centigrade | \u00b0 c | \u00b0celsius | degree c',
  fahrenheit:
    'f | \u00b0f | deg f | degf | degrees f | fahrenheit | degrees fahrenheit | \u00b0 f | degree f' +
    ' | farenheit | degrees farenheit',
  degree:
    '\u00b0 | deg | degs | degrees | degree | deg btdc | degrees btdc | \u00b0 btdc' +
    ' | degrees before top dead centre | degrees of timing | deg of timing | btdc | degrees advance' +
    ' | deg advance | degrees of advance',
  kilometre: 'km | kms | kilometre | kilometres | kilometer | kilometers | klm | klms | k km | kkm',
  mile: 'miles | mile | mi | mls | mile s | mikes | kmiles | kmi | k mi',
  'km-per-hour':
    'km/h | kmh | kph | km per hour | kms per hour | kmph | km/hr | k/h | kms/h | kilometres per hour' +
    ' | kilometers per hour | km an hour | kms an hour',
  'mile-per-hour': 'mph | m p h | miles per hour | miles an hour | mi/h',
  'mile-per-gallon':
    'mpg | mpgs | m p g | miles per gallon | miles to the gallon | miles a gallon | miles/gallon' +
    ' | miles/gal | miles per gal | mi/gal | mp g | to the gallon',
  'mile-per-us-gallon': 'us mpg | mpg us | mpg (us) | miles per us gallon',
  'mile-per-imperial-gallon':
    'uk mpg | mpg uk | imperial mpg | mpg imperial | mpg (uk) | mpg (imperial) | mpg imp' +
    ' | miles per imperial gallon',
  'litre-per-100-km':
    'l/100km | l/100 km | l/100 | l/100kms | litres per 100 km | liters per 100 km | litres per 100km' +
    ' | liters per 100km | litres/100km | litres/100 km | liters/100km | liters/100 km | litres per 100' +
    ' | liters per 100 | litres per hundred | litres per 100 kilometres | liters per 100 kilometers' +
    ' | l per 100 | l per 100 km | l per 100km | lt/100km | ltr/100km | litres to the 100' +
    ' | litre per 100km | liter per 100km | litres a hundred | litres to 100 km',
  'km-per-litre':
    'km/l | kmpl | km per litre | km per liter | kms/l | kms per litre | km/litre | km/ltr' +
    ' | kilometres per litre | kpl',
  'gram-per-second':
    'g/s | g/sec | gm/s | gm/sec | grams/sec | grams/s | grams per second | grams a second | gps | gs' +
    ' | g per s | grams per sec | gr/s | gr/sec | grams second | g/second | gm per sec',
  'kilogram-per-hour': 'kg/h | kg/hr | kgh | kg per hour | kilos per hour | kg/hour | kilograms per hour',
  'pound-per-minute': 'lb/min | lbs/min | lb per min | pounds per minute | lbs per minute | lb/minute',
  ppm: 'ppm | p p m | parts per million | ppm vol | ppm hexane | ppmv',
  ohm: 'ohm | ohms | \u03c9 | r | homs',
  kilohm: 'kohm | kohms | k ohm | k ohms | kilohm | kilohms | kilo ohms | kilo ohm | k\u03c9 | k \u03c9',
  megohm: 'mohm | mohms | megohm | megohms | meg ohm | meg ohms | m\u03c9 | m ohm | m ohms',
  millisecond: 'ms | msec | msecs | millisecond | milliseconds',
  second: 's | sec | secs | seconds',
  'gram-per-km': 'g/km | gm/km | grams per km | grams per kilometre | grams/km | g per km | gpk',
  'gram-per-mile': 'g/mi | g/mile | gm/mi | gpm | grams per mile | grams/mile | g per mile | grams/mi | gm/mile',
  litre: 'l | litre | litres | liter | liters | ltr | ltrs | lt | lts | lit',
  'cubic-centimetre': 'cc | ccm | cm3 | cubic centimetres | cubic centimeters',
  'cubic-inch': 'ci | cid | cubic inch | cubic inches | cu in | cui | cubes | cubic | c i',
  hertz:
    'hz | hertz | times a second | times per second | switches per second | switches a second' +
    ' | per second | a second | crosscounts per second | cross counts per second | crossings per second' +
    ' | x per second | times/sec | times per sec | times/s | cycles per second | times each second',
  'per-10-seconds':
    'times in 10 seconds | switches in 10 seconds | times in ten seconds | switches in ten seconds' +
    ' | times per 10 seconds | times every 10 seconds | cross counts in 10 seconds' +
    ' | crosscounts in 10 seconds | crossings in 10 seconds | times every ten seconds | in 10 seconds',
  'to-one': ':1 | : 1 | to 1 | to one | parts air',
  'mile-per-quart':
    'miles per quart | miles a quart | miles/quart | miles to the quart | miles per qt | miles/qt' +
    ' | miles to a quart | miles on a quart | miles per quart of oil',
  'mile-per-litre':
    'miles per litre | miles a litre | miles per liter | miles to the litre | miles/litre' +
    ' | miles per litre of oil',
  'quart-per-1000-miles':
    'quart per 1000 miles | quarts per 1000 miles | quart every 1000 miles | quarts every 1000 miles' +
    ' | quart per 1000 | qt per 1000 miles | quart in 1000 miles | quarts in 1000 miles | qt/1000 miles' +
    ' | quart per 1k miles | quart every 1000 | qt every 1000 miles | quart per thousand miles' +
    ' | quarts per thousand miles | quart every thousand miles | quart of oil every 1000 miles' +
    ' | quart of oil per 1000 miles | quarts of oil every 1000 miles | quarts of oil per 1000 miles' +
    ' | quart of oil per thousand miles',
  'litre-per-1000-miles':
    'litre per 1000 miles | litres per 1000 miles | litre every 1000 miles | litres every 1000 miles' +
    ' | l per 1000 miles | l/1000 miles | litre per thousand miles | litre every thousand miles' +
    ' | liter per 1000 miles | liters per 1000 miles | litre of oil every 1000 miles' +
    ' | litre of oil per 1000 miles | litres of oil per 1000 miles | litres of oil every 1000 miles',
  'litre-per-1000-km':
    'litre per 1000 km | litres per 1000 km | l/1000km | l/1000 km | l per 1000 km' +
    ' | litre every 1000 km | liter per 1000 km | liters per 1000 km | litres every 1000 km' +
    ' | litre per 1000km | litres per 1000km | l per 1000km | litre of oil per 1000 km' +
    ' | litre of oil every 1000 km | litres of oil per 1000 km | liter every 1000 km' +
    ' | litre every 1000km | litre of oil per 1000km | litre of oil every 1000km',
};
