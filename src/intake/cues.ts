// The small words by which a writer says under which sign a statement stands: hearsay, doubt, supposition, an earlier
// time, another car, a running condition. clauses.ts places them; no word of the trade lives here except conditions.
import type { Condition } from '../vocabulary/quantities.ts';
import { buildPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';

/** What a cue does to the words after it (and for some, around it). */
export type Cue =
  /** Somebody else's word, to the end of the sentence or the next contrast. */
  | 'hearsay'
  /** The writer's own doubt, over its clause. */
  | 'doubt'
  /** Feared, wished, advised or looked for, to the end of the clause and what hangs on it. */
  | 'supposed'
  /** Something that was so earlier, over its clause. */
  | 'before'
  /** "before the repair", "until I changed": the statement that it belongs to was so earlier. */
  | 'before-work'
  /** "I unplugged the sensor and ...": what follows in the sentence is the response to a trial, not a complaint. */
  | 'trial'
  | 'other-car'
  /** A relative's or friend's car: another one, unless the post is about it from its first sentence. */
  | 'relative-car'
  | 'this-car'
  /** The writer's own car, beyond doubt: what was told of a relative's is another one. */
  | 'own-car'
  /** A date in the past: of an earlier time where the writer goes on to what is so now. */
  | 'dated'
  | 'present-day';

const people =
  'shop|mechanic|garage|dealer|dealership|friend|mate|buddy|pal|tech|technician|guy|neighbour|neighbor|brother|sister|dad|father|mom|mum|uncle|cousin|husband|wife|boyfriend|girlfriend|' +
  'tester|inspector|someone|somebody|people|they|he|she|everyone|everybody|forum|internet|google|youtube|manual|website|article|bloke|fella|coworker|colleague|workshop|specialist|boss|son|' +
  'nobody|expert|instructor|teacher|helper|member|counter|store|place|folks|book|handbook';
const saying =
  'say|tell|think|reckon|claim|suggest|diagnose|believe|insist|swear|suspect|blame|recommend|figure|mention|advise|guess|warn|conclude|assume';

const relatives =
  'brother|sister|dad|father|mom|mum|mother|friend|mate|buddy|neighbour|neighbor|cousin|uncle|son|daughter|wife|husband|girlfriend|boyfriend|coworker|colleague|boss|flatmate|roommate';
/** Makes and a few common models, enough to tell whose car is meant; the vehicle itself is read elsewhere. */
const makes =
  'honda|toyota|ford|chevy|chevrolet|bmw|golf|vw|volkswagen|volvo|subaru|nissan|mazda|audi|jeep|saab|vauxhall|opel|peugeot|renault|fiat|mercedes|hyundai|kia|dodge|gmc|lexus|acura|civic|accord|corolla|camry|focus|fiesta|astra|corsa|clio|polo|passat|mini|mustang|jetta|tacoma|silverado|f150|ranger|explorer|escape|fusion|taurus|malibu|impala|altima|sentra|maxima|rav4|crv|prius|outback|forester|impreza|legacy|wrangler|cherokee|tahoe|suburban|ram|dakota|caravan|odyssey|pilot|sonata|elantra|mondeo|escort|puma|vectra|zafira|megane|scenic|punto|panda|micra|almera|yaris|aygo|swift|fabia|octavia|leon|ibiza|touran|tiguan|duster|sandero|miata|celica|integra|prelude|discovery|defender|freelander|skoda|seat|citroen|suzuki|mitsubishi|daewoo|dacia|porsche|jaguar|rover|pontiac|buick|chrysler|lincoln|cadillac|mercury|saturn|infiniti|tesla|#';

/** Years that a post may look back to. */
const pastYears = Array.from({ length: 50 }, (_, index) => 1980 + index).join('|');

const cueWords: Readonly<Record<Cue, readonly string[]>> = {
  hearsay: [
    `${people} ${saying}`,
    `${people} .. ${saying}`,
    'according to',
    'apparently',
    'supposedly',
    'allegedly',
    'i =was|am|been told',
    "i've =been told",
    'i have =been told',
    '=was told',
    'i read|hear =that|about|=of|somewhere|online',
    "i've|i'd read|heard =that|about|=of|somewhere|online|=it|=they",
    'i have read|heard =that|about|=of|somewhere|online|=it|=they',
    'read|heard|saw somewhere|online',
    'heard|read =that',
    'rumour|rumor',
    'told me',
    'general opinion|consensus',
  ],
  doubt: [
    'i think|guess|suspect|assume|imagine|reckon|believe|suppose',
    "i'm|i'd|i'll guessing|guess|thinking|assuming|suspect",
    'my guess',
    '=maybe',
    '=perhaps',
    'possibly',
    'probably',
    '=might|may|could =be',
    '=might|may have',
    '=could =have =been',
    'not =sure|certain|positive|convinced',
    'unsure',
    "don't|dont|can't|couldn't know|tell|say if|whether",
    'hard|difficult to tell|say',
    'almost|!nearly',
    'about|going|gonna|threaten|threatening|try|trying|tries|tried|want|wants|wanted|wanting|ready to stall|die|quit|cut|overheat|stop|conk|blow|explode|misfire|smoke',
    'gonna stall|die|quit',
    'on =the verge|brink =of',
    "wouldn't =be surprised",
  ],
  supposed: [
    'worried|afraid|scared|concerned|nervous|anxious|fear|fearing|frightened|worry|terrified',
    "don't|didn't|not|wouldn't|never want",
    'do|did not want',
    'to avoid|prevent',
    'avoid|avoiding|prevent|preventing',
    'in case',
    'at|the|a|any risk =of',
    'risk|risking',
    'would|could|can|might|may|will cause|make|lead|give|result|produce|explain|mean|damage|trigger|create',
    'would|could|can|might|may that|this|it|a cause|make|lead|give|result|produce|explain|mean|trigger',
    'would =be',
    'would|could|can|might|may .. cause|trigger|lead|result',
    'make|making|made sure',
    'check|checked|checking|look|looked|looking|listen|listened|listening|watch|test|tested|inspect|inspected|searching|search|feel|sniff for|whether',
    'symptom|symptoms =of|include|including',
    'sign|signs|indication|indicator =of bad|failing|faulty|failed|dying|worn',
    'supposed to',
    'should =be|not',
    "shouldn't",
    'hope|hoping|hopefully',
    'rule|ruled|ruling out',
    'prone to',
    'known|famous|notorious|common for|to|=on|=with',
    '=wondering|wonder|wondered|curious if|whether|about|=is|=are|=it',
    'thinking|thought about',
    'what =if',
    'sooner or later',
    "i've|i had =it|=one|=cars|=others|=them overheat|stall|misfire|die|smoke|leak",
    'bad|failing|faulty|clogged|blocked|dying|dead|worn|leaking|dirty|lazy .. !causes|!cause|!leads|!results|!gives|!makes|!means',
    '!means|!indicates|!signifies rich|lean|burning|oil|coolant|fuel|bad|blown|worn|water',
    'before =it|=she|=things|=that|=this !starts|!start|!gets|!goes|!dies|!fails|!happens|!stalls|!breaks',
    'one day will',
    'except for when',
    'next time',
  ],
  before: [
    'used to',
    '!had =been',
    'previously',
    'formerly',
    'originally',
    'in =the past',
    'back =then',
    'at one time',
    '=the|my|old old engine|motor',
    'had =it happen',
    'years ago it|=was|they',
    'before =that|this|=then',
    'that|which|it|this|i|we|he|they !fixed|!cured|!solved|!sorted|!resolved|!eliminated =the|my|that',
    "i've|we've !fixed|!cured|!solved|!sorted|!resolved =the|my|that",
    '!fixed|!cured|!solved|!resolved|!sorted =the|my|that',
    'has|have|had =been !fixed|!cured|!solved|!resolved',
    'once upon',
    'last year|winter|summer|spring|autumn =it|=was|had',
    'two|three|four|five|six|seven|eight|nine|ten|# years ago',
  ],
  'before-work': [
    'before|until|till|prior .. replaced|changed|fixed|repair|repaired|repairing|cleaned|cleaning|swapped|fitted|fitting|service|serviced|rebuild|rebuilt|installed|replacing|changing|installing|replacement|swap|work|clean|fix|put|overhaul',
    'before|until|till|prior .. =the|a|my new',
    'before|until|till .. had|got =it fixed|repaired|serviced|rebuilt',
  ],
  trial: [
    'unplug|unplugged|unplugging|disconnect|disconnected|disconnecting|pinch|pinched|pinching',
    'hand|vacuum pump =on|=to',
    'block|blocked|plugged|capped|cap|clamp|clamped off|hose',
    'pull|pulled|pulling|remove|removed|removing .. hose|plug|lead|wire|coil|connector|fuse|cap|dipstick',
    'spray|sprayed|spraying|squirt|squirted',
  ],
  'other-car': [
    '=my|our|the|his|her other|second|spare|previous|old|last car|truck|van|vehicle|one|suv|bike|motorcycle',
    'another|different car|truck|van|vehicle',
    'i|we =also have|own|drive|got',
    `=my|our|his|her other|second|previous|last ${makes}`,
    'a friend|mate|neighbour|neighbor =of mine',
  ],
  'relative-car': [
    `=my|a|an|his|her|our|the|another|some ${relatives} car|truck|van|suv|one|#`,
    `=my|a|an|his|her|our|the|another|some ${relatives} ${makes}`,
    `=my|a|an|his|her|our|the|another|some ${relatives} has|have|owns|drives =a|=an|=the ${makes}`,
  ],
  'this-car': ['=this car|one|truck|engine|van', 'one in question'],
  dated: [
    `=in ${pastYears}`,
    'last year|winter|summer|spring|autumn|month',
    'few|couple|several|two|three|four|five|six|# years|months ago',
    `=back =in ${pastYears}`,
  ],
  'present-day': ['=now', 'today', '=these days', 'currently', '=at =the moment', 'lately', 'nowadays'],
  'own-car': ['mine', '=my car|truck|van|suv|engine', '=my own', `=my ${makes}`, '=my =19|=20|#'],
};

export const cuePatterns = buildPatterns<Cue>(
  (Object.keys(cueWords) as Cue[]).flatMap((cue) => cueWords[cue].map((phrase): [string, Cue] => [phrase, cue])),
);

const conditionWords: Readonly<Record<Condition, readonly string[]>> = {
  cold: [
    'when|while|if .. cold',
    'from|stone|still|first|until|dead cold',
    'cold start|starts|starting|startup|engine|morning|mornings',
    'start|started|starting|fire|fires =it up cold',
    'first thing =in =the morning',
    'first start',
    '=in =the morning|mornings',
    'until|till|before .. warm|warms|warmed|heats|temperature',
    'on start|startup',
    'sitting|sat|parked overnight|=all night',
    'after sitting|=it sits|=it sat overnight',
  ],
  idle: [
    '=at|on|when|while|during idle|idling',
    'idle',
    '=at =a|the lights|light|stoplight|stop|standstill|junction',
    '=in park|neutral',
    'stationary',
    'stopped =at',
    'ticking over',
    'tickover',
  ],
  '2500rpm': ['2500 rpm', '2500', '2,500', 'fast idle', 'high idle test'],
  load: [
    'under load|acceleration|power|boost',
    'accelerate|accelerates|accelerating|acceleration|accel',
    '=when =i press|push|hit|step|stamp|floor|give|put|stomp',
    'uphill',
    'up|climbing hill|incline|grade|gradient',
    'full|wide throttle',
    'wide open throttle',
    'wot',
    'foot down',
    'towing|tow',
    'hard =on =the gas',
    'pulling away|off|out',
    'floor it',
    'floored',
    'overtaking|passing|merging',
  ],
  cruise: [
    'cruise|cruising',
    '=on|at =the highway|motorway|freeway|interstate|expressway',
    'highway|motorway|freeway speed|speeds',
    '=at|over|above|around|about # mph|kph|kmh|km',
    'part|light throttle',
  ],
  'cruise-steady': ['steady speed|throttle|cruise|#', 'constant speed|throttle'],
  overrun: [
    'decelerating|deceleration|decel|coasting|overrun',
    'lift|lifting|let|letting|come|back|take off|foot =the|of|gas|throttle|pedal|off',
    'slowing down',
    'engine braking',
  ],
  'key-on': ['key on engine off', 'key on', 'ignition on', 'koeo'],
  'after-refuelling': [
    'after|since .. fill|filled|filling|fillup|refuel|refuelling|refueling|refuelled|refueled',
    'after|since .. tank =of gas|petrol|fuel',
    'after|when|since .. gas|petrol|fuel up|station|stop',
    'just|freshly filled|refuelled|refueled|fuelled',
    'every|each time =i fill|refuel',
    'when =i fill|refuel',
  ],
};

export const conditionPatterns = buildPatterns<Condition>(
  (Object.keys(conditionWords) as Condition[]).flatMap((condition) =>
    conditionWords[condition].map((phrase): [string, Condition] => [phrase, condition]),
  ),
);

/** Words with which a question begins. */
export const questionWords = stemSet(
  "what what's why how how's where where's when which who who's whose could can can't would will should is are am was were do does don't did didn't isn't aren't has have any anyone anybody shall may might wouldn't couldn't",
);
/** Words after an inverted verb or a wh-word that make it a question even without its mark. */
export const subjectWords = new Set(
  "i you we it he she they this that there these those the my a an anyone anybody someone your is are am do does did can could would will should has have i'm it's be".split(
    ' ',
  ),
);
/** Words that begin a new clause wherever they stand. */
export const clauseOpeners = new Set(
  'but however although though because cuz when whenever while if unless until till before after once since whereas except yet plus whether'.split(
    ' ',
  ),
);
/** Words that begin a new clause when a subject or an inverted verb follows. */
export const weakOpeners = new Set('and so then or nor that which'.split(' '));
/** Contrasts end another's word and another car. */
export const contrasts = stemSet('but however although though yet whereas');
