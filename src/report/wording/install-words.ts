import { isNotMeasurable } from '../../model/measured.ts';
import { codeOf } from '../../model/reason.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { listed, ofSettings } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { fixed, formatSetting, plainDb, plainHz, significant } from '../format.ts';
import { say, volts } from '../sentence.ts';
import type { RecommendationWords } from './statement.ts';
import { asClause, capitalised, known, measuredOr, type Statement, type TapLabel } from './statement.ts';

type Supply = RecommendationOf<'supply'>;

export function turnOnWords(item: RecommendationOf<'turn-on'>): RecommendationWords {
  const threshold =
    item.thresholdVolts === null ? say`` : say` against a threshold of ${volts(item.thresholdVolts)}`;
  const at = item.quietestSetting === null ? '' : ` at setting ${formatSetting(item.quietestSetting)}`;
  return {
    title: 'Turn-on',
    statements: [
      known(say`Turn the amplifiers on by ${TURN_ON[item.use]}.`),
      measuredOr({
        what: 'whether signal sensing holds at the quietest setting',
        answer: item.quietestVoltsRms,
        sentence: ({ value, plusMinus }) =>
          say`The quietest signal${at} is ${volts(value, plusMinus)}${threshold}.`,
      }),
    ],
    step: {
      where: 'Turn-on',
      setTo: say`By ${TURN_ON[item.use]}.`,
      check: say`It stays on at the quietest setting and goes off with the car asleep.`,
      known: true,
    },
  };
}

/** What turns a part on, as it is said in a sentence. */
export const TURN_ON: Readonly<Record<RecommendationOf<'turn-on'>['use'], string>> = {
  'signal sense': 'signal sensing',
  'offset sense': 'DC offset sensing',
  'switched line': 'a switched line',
};

export function groundingWords(item: RecommendationOf<'grounding'>, tapLabel: TapLabel): RecommendationWords {
  const taps = item.tapIds.length === 0 ? '' : ` on ${listed(item.tapIds.map(tapLabel))}`;
  return {
    title: 'Noise',
    of: item.noise,
    statements: [
      known(say`There is ${item.noise}${taps}.`),
      ...item.advice.map((advice) => known(say`${capitalised(reasonText(advice).replace(/\.$/, ''))}.`)),
    ],
    step: null,
  };
}

export function supplyWords(item: Supply): RecommendationWords {
  return {
    title: 'Supply wire and fuse',
    statements: [
      known(
        say`At full power the amplifiers draw ${significant(item.currentAmps, 3)} A at ${significant(item.supplyVolts, 3)} V${item.figures === undefined ? '' : `, with music about ${significant(item.figures.musicCurrentAmps, 2)} A`}.`,
      ),
      ...wireStatements(item),
      ...fuseStatements(item),
      ...item.cautions.map((caution) => known(say`${capitalised(asClause(caution))}.`)),
    ],
    step: null,
  };
}

export function recordNextWords(
  item: RecommendationOf<'record-next'>,
  tapLabel: TapLabel,
): RecommendationWords {
  const taps = item.tapIds.length === 0 ? '' : ` on ${listed(item.tapIds.map(tapLabel))}`;
  const wait = item.blocks ? ' Gains and wiring wait for it.' : '';
  const action = say`${recordText(item, taps)}${wait}`;
  return {
    title: 'To record next',
    statements: [{ sentence: action, known: false }],
    step: item.blocks
      ? { where: 'First record', setTo: action, check: say`Analyse again.`, known: false }
      : null,
  };
}

/** @param taps "on ...", with a space before it; empty where it is about all */
export function recordText({ what, settings }: RecommendationOf<'record-next'>, taps: string): string {
  if (what.code === 'record a setting above')
    return `Record a setting above ${formatSetting(what.setting)}${taps}, if there is one. Speakers unplugged or a load on.`;
  if (what.code === 'measure across the pair or correct the pad')
    return `${capitalised(asClause(what))}${taps}.`;
  if (what.code === 'record the loop take') return `Record ${asClause(what)}.`;
  const says = 'setting' in what || 'settings' in what;
  const at = says || settings.length === 0 ? '' : ` at ${ofSettings(settings)}`;
  const on = 'tapIds' in what ? '' : taps;
  return `Record ${asClause(what)}${on}${at}.`;
}

export function cannotBeDoneWords(item: RecommendationOf<'cannot-be-done'>): RecommendationWords {
  const other = item.otherClass === null ? [] : [known(say`This would do it: ${asClause(item.otherClass)}.`)];
  const nearest = SAYS_NOTHING_NEW.has(codeOf(item.nearest) ?? '')
    ? []
    : [known(say`The nearest that works: ${asClause(item.nearest)}.`)];
  return {
    title: 'What cannot be done',
    statements: [{ sentence: say`${cannotText(item)}.`, known: false }, ...nearest, ...other],
    step: null,
  };
}

/** Nothing that works instead: the sheets show what is left. */
const SAYS_NOTHING_NEW: ReadonlySet<string> = new Set(['no gains until then', 'what the sheets list']);

/** Gains wait, other plans fail: "No gains yet for the subwoofer: ...". */
export function cannotText({ wanted, bindingLimit }: RecommendationOf<'cannot-be-done'>): string {
  const limit = asClause(bindingLimit);
  if (typeof wanted !== 'string' && wanted.code === 'gains for')
    return `No gains yet for ${listed(wanted.outputs)}: ${limit}`;
  return `${capitalised(reasonText(wanted))} cannot be done: ${limit}`;
}

export function confirmWords(item: RecommendationOf<'confirm'>, tapLabel: TapLabel): RecommendationWords {
  const reading = isNotMeasurable(item.voltsRms)
    ? say`the level of this recording`
    : say`${volts(item.voltsRms.value, item.voltsRms.plusMinus)}`;
  return {
    title: 'To see later whether the radio is the same',
    statements: [
      known(
        say`Make one short take of ${tapLabel(item.tapId)} at setting ${formatSetting(item.setting)}. At ${plainHz(item.toneHz)} it reads ${reading}, within ${plainDb(item.withinDb)}.`,
      ),
    ],
    step: null,
  };
}

/** One figure on every sheet: what the wire allows, what the system needs, what to fit. */
function fuseStatements({ figures, fuseAmps }: Supply): Statement[] {
  if (figures === undefined)
    return fuseAmps === null ? [] : [known(say`Fuse: ${significant(fuseAmps, 3)} A, rated for the wire.`)];
  const { fuseAtMostAmps, fuseAtLeastAmps, fuseAmps: fit, fittedFuse } = figures;
  if (fuseAtMostAmps === null)
    return [known(say`Main fuse: at least ${fuseAtLeastAmps} A for this system; the wire sets the most.`)];
  const sizes = `at most ${fuseAtMostAmps} A for this wire, at least ${fuseAtLeastAmps} A for this system`;
  if (fittedFuse?.verdict === 'right')
    return [known(say`Main fuse: ${sizes}. The ${fittedFuse.amps} A that is there is right.`)];
  return [known(say`Main fuse: ${sizes}${fit === null ? '' : `: fit ${fit} A`}.`)];
}

function wireStatements({ wire, thinnest }: Supply): Statement[] {
  const given =
    wire === null
      ? []
      : [
          known(
            say`Your wire (${{ mm2: wire.mm2, awg: wire.nearestAwg }}) is ${wire.verdict}: it loses ${fixed(wire.dropVolts, 2)} V (${fixed(wire.dropPercent, 1)} %) and makes ${significant(wire.lossWatts, 2)} W of heat.`,
          ),
        ];
  const least =
    thinnest === null
      ? []
      : [
          known(
            say`Thinnest wire allowed: ${{ mm2: thinnest.copperMm2, awg: thinnest.copperAwg }} in copper, ${{ mm2: thinnest.cladMm2, awg: thinnest.cladAwg }} in copper-clad aluminium.`,
          ),
        ];
  return [...given, ...least];
}
