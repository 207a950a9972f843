// The verbs by which people tell of work on a car, and the words for what came of it. read-work.ts uses them; the words
// for parts are data (knowledge/parts).
import type { WorkDoneFinding } from '../vocabulary/findings.ts';
import { buildPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';

export type Action = WorkDoneFinding['action'];
export type WorkResult = NonNullable<WorkDoneFinding['result']>;

/** Verb stems and their action; which forms of them tell of something done is for `isDone` to say. */
const actionWords: Readonly<Record<Action, readonly string[]>> = {
  replaced: [
    'replace',
    'renew',
    'change',
    'changed out',
    'swap|swapped out|in',
    'fit',
    'fitted',
    'install',
    'installed',
    'upgraded',
    'put|putting|threw|thrown|slapped|popped|bolted|screwed|dropped in|on|at',
    'put|putting|threw|thrown|stuck|slapped|bolted|screwed =a|=in|=on|=two|=four|=some|=my =new|brand|another|used|rebuilt',
    'threw|thrown =a|=new|=some|=every',
    '!did|!done =the|=my|=new|=a|=all|=both',
    '!did',
    '!done|!serviced|!redone',
    'it|car|truck|van|engine|she !got',
    '=been|=was|=were|=got =done',
    'change|replacement|job',
    '=been through =two|=three|=four|several|#',
    '=on =my|=its third|fourth|3rd|4th',
    'has|have|had =had =a|=new|plugs|several',
    'new|brand-new|fresh',
    'brand new',
    'reconditioned|remanufactured|refurbished|junkyard|secondhand',
  ],
  cleaned: [
    'clean',
    'cleaned out|up|off',
    'scrubbed',
    'washed',
    'wiped',
    'degreased',
    'decoked',
    'de-coked',
    'blew|blown out',
    'sprayed =out',
    'used|added|poured|ran|tried|gave|given|dumped|put .. cleaner|additive',
    'soaked|unblocked|unclogged|decarbonised|decarbonized|descaled',
  ],
  tested: [
    'test',
    'tested',
    'check',
    'checked',
    'measured',
    'inspected',
    'examined',
    'verified',
    'looked =at',
    '!ohmed',
    '!metered',
    'smoke-tested',
    'smoke tested',
    'smoked =the|=it|intake',
    'checks =out|fine|ok|good',
    'probed',
    'scoped',
    'pressure-tested|leak-tested|bench-tested',
    'pressure|leak|bench|load tested',
    'looked|searched|listened|felt|sprayed =for|=round|=around|=all',
    'went over|round|around',
    'backprobed|back-probed',
    'hooked|connected|fitted|put =up|=on|=a|= .. gauge|multimeter|scope',
    'did|done|ran|performed|carried|conducted|made|gave .. test|check',
    'gapped|regapped|re-gapped',
  ],
  reset: [
    'reset',
    'clear',
    'cleared',
    'erased',
    'deleted',
    'wiped',
    'zeroed',
    're-set',
    'relearned',
    'turned off =the',
    'updated|reflashed|re-flashed|flashed|reprogrammed|re-programmed|remapped',
  ],
  swapped: ['swap', 'swapped', 'switched|exchanged|swopped', 'moved|crossed'],
  repaired: [
    'repaired',
    'fixed',
    'mended',
    'welded',
    'sealed',
    'resealed',
    're-sealed',
    'patched',
    'soldered',
    'spliced',
    'tightened',
    'refitted',
    'reconnected',
    'reattached',
    're-attached',
    'adjusted',
    'rewired',
    'plugged =back|in',
    'bodged',
    'overhauled',
    'rebuilt',
    'cleaned and tightened',
    'plugged|closed|filled|covered =the|=a|=up leak|hole|crack|split',
    'taped|glued|clamped|bunged|re-clamped|crimped',
    're-seated|reseated|refixed|re-fixed|retightened|re-tightened|torqued|re-torqued',
    'lapped|skimmed|machined|honed|planed',
  ],
  disconnected: [
    'unplugged',
    'disconnected',
    'removed',
    '!pulled',
    'pulled|took|taken off|out',
    'pulled =the|=my|battery',
    'took|taken =the|=my|=out|=off|=both',
    'gutted|hollowed|emptied|decatted|de-catted',
    'knocked|punched|broke|drilled .. out|through',
    'cut|cuts =out|off =the|=my|=both',
    'deleted =the|cat|egr',
    'blanked|capped|plugged =off|=the',
    'blocked =off',
  ],
};

export const actionPatterns = buildPatterns<Action>(
  (Object.keys(actionWords) as Action[]).flatMap((action) =>
    actionWords[action].map((phrase): [string, Action] => [phrase, action]),
  ),
);

const resultWords: Readonly<Record<WorkResult, readonly string[]>> = {
  'no-change': [
    'no|without|any|zero|little change|difference|luck|joy|improvement|effect|success|avail|help|result|better|cure',
    'not better|fixed|cured|solved|helped|improved|=it',
    "didn't|doesn't|hasn't|never|wasn't|won't|hadn't help|fix|cure|change|solve|work|improve|fixed|helped|better|resolve|touch",
    "didn't|hasn't|not|never|doesn't|hadn't .. help|fix|cure|solve|difference|change",
    'did nothing',
    'makes|made no',
    'still there|doing|present|misfiring|bad|rough|=on|same|smokes|stalls|running|runs|get|getting|happens|happening|comes|=the =same|=has|=have|fails',
    'same problem|thing|code|fault|symptoms|result|again',
    'problem|code|light|fault|trouble|symptoms persist|persists|remains|remained|returned|returns|there',
    'came|comes|come|goes back',
    'it|code|light|fault returned|persists|remains',
    'to no avail',
    'nothing changed|helped|fixed',
  ],
  helped: [
    'that|it|which|this|and|have fixed|cured|solved|helped|sorted|worked|improved',
    'fixed|cured|solved|sorted =it|problem|=the|=that|for',
    'helped some|=a|=it|lot',
    'got|much|=bit|little|lot better',
    'improved|improvement',
    'ran|runs|run|drove|goes|went|idles =great|perfect|perfectly|amazing|amazingly|fine|smooth|well|better|beautifully',
    'problem|misfire|it|light|code|smoke gone|went away',
    'went away',
    'good|perfect|fine for =a|# weeks|days|week|month|while|miles',
  ],
  'found-good': [
    'good|fine|ok|okay|great|perfect|passed|healthy|clean|normal|tight|new|holding',
    'within|in|to|inside spec|specs|specification|tolerance|limits|range',
    'no leaks|leak|faults|fault|problem|problems|issues|cracks|damage',
    'nothing wrong|found|obvious',
    'found nothing|no|none',
    'believable',
    'pass|passes',
    'all well|good|ok|fine',
  ],
  'found-bad': [
    'bad|faulty|failed|dead|broken|cracked|split|shorted|blown|leaking|clogged|blocked|dirty|filthy|weak|worn|fouled|burnt|corroded|melted|stuck|loose|torn|defective|shot|toast|kaput',
    'open circuit',
    'out =of spec|specification|range',
    'not =working|=good|=in',
  ],
  'started-trouble': [
    'started|began|begun|appeared|came =on|=after|since|=right|=when|=now|up',
    'since then',
    'ever since',
    'right|immediately|straight|soon|directly after',
    'now it|=the|has',
  ],
};

export const resultPatterns = buildPatterns<WorkResult>(
  (Object.keys(resultWords) as WorkResult[]).flatMap((result) =>
    resultWords[result].map((phrase): [string, WorkResult] => [phrase, result]),
  ),
);

/** Before the verb, in its clause: not done, or not done yet. */
export const notDone = stemSet(
  "should shall will would going gonna plan planning need needs needed could want wants wanting considering consider haven't not never didn't hasn't yet might may must if wouldn't won't tomorrow intend hoping hope supposed ought require requires wonder wondering without i'll he'll they'll we'll you avoid instead hadn't cannot can't expect prefer required wants due isn't wasn't weren't aren't to unless recommend suggest advise insist",
);
/** Before words for a part that is new: bought or priced, not fitted. */
export const notFitted = stemSet('quote order buy price cost look get tell');
/** Passed over between the parts of a list. */
export const listWords = stemSet(
  'and or with both all new old front rear upstream downstream left right upper lower first second bank sensor of the a an my its his her their set oem genuine aftermarket original factory full complete whole entire bosch ngk denso motorcraft delco ac mopar pattern universal cheap another other too also as well plus including on in lot one two three four six eight each every up out some for quality premium brand used engine main set kit number no inner outer even rebuilt four-wire same correct proper',
);
/** End a list: another statement begins. */
export const listEnds = stemSet(
  "but because which that when if then so while after before since it it's he she they we you i i'm i've there was were did does do but still now to says said until from by however although though runs ran drove found still found",
);

/** Adjectives that tell of a part fitted. */
export const adjectives = stemSet(
  'new brand-new brand fresh reconditioned remanufactured refurbished junkyard used secondhand',
);

/** Small verbs between a part and what was done to it. */
export const auxiliaries = stemSet(
  'was were been got have is are being all just already also recently then not each both came now',
);
