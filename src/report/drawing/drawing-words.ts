import type { NotedWire } from '../../model/bay-notes.ts';
import type { Chain, ChainFeed, ChainNode, ChainSupply, ChainTap } from '../../model/chain.ts';
import { codeOf } from '../../model/reason.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { Tap } from '../../model/session.ts';
import { hertz, listed } from '../../words/figures.ts';
import { fixed, formatDelay, formatSetting, plainDb, plainHz, plainVolts, significant } from '../format.ts';
import { asClause, capitalised } from '../wording/statement.ts';
import type { Detail, FoundOfOutput } from './drawn.ts';

/** What would be written as 0.0 µs is no delay. */
const LEAST_DELAY_SECONDS = 5e-8;

/** "3 kHz up", "below 1.9 kHz", "60 Hz–3 kHz"; empty for full range. */
export function bandText([from, to]: ChainTap['bandHz']): string {
  if (from === null) return to === null ? '' : `below ${hertz(to)}`;
  return to === null ? `${hertz(from)} up` : spanText(from, to);
}

/** "35–80 Hz", "90 Hz–2.8 kHz" */
function spanText(fromHz: number, toHz: number): string {
  const [from, to] = [hertz(fromHz), hertz(toHz)];
  const unit = / k?Hz$/;
  const same = unit.exec(from)?.[0] === unit.exec(to)?.[0];
  return `${same ? from.replace(unit, '') : from}\u2013${to}`;
}

/** "+ white (3), − white/black (4)"; in brief "+white −white/black"; empty where nobody noted them. */
export function wiresText({ plus, minus }: Tap, detail: Detail): string {
  const brief = detail === 'brief';
  return [
    ...(plus === undefined ? [] : [`+${brief ? '' : ' '}${wireText(plus, detail)}`]),
    ...(minus === undefined ? [] : [`\u2212${brief ? '' : ' '}${wireText(minus, detail)}`]),
  ].join(brief ? ' ' : ', ');
}

export function sideLetter(side: Tap['side'] | undefined): string {
  return side === 'left' ? 'L' : 'R';
}

export function swapText(side: string): string {
  return `swap ${side === '' ? '' : `${side} `}+/\u2212`;
}

/** "Plugs: dash-left and dash-right, round plug in the dash; ..."; empty where nobody noted any. */
export function plugsText(taps: readonly Tap[]): string {
  const plugs = [...new Set(taps.flatMap(({ connector }) => connector ?? []))];
  const texts = plugs.map((plug) => {
    const names = taps.filter(({ connector }) => connector === plug).map(({ label }) => label);
    return names.length === taps.length ? plug : `${listed(names)}, ${plug}`;
  });
  return texts.length === 0 ? '' : `${texts.length === 1 ? 'Plug' : 'Plugs'}: ${texts.join('; ')}.`;
}

function wireText({ colour, pin }: NotedWire, detail: Detail): string {
  if (pin === undefined || (detail === 'brief' && colour !== undefined)) return colour ?? '?';
  return colour === undefined ? `pin ${pin}` : `${colour} (${pin})`;
}

export function tapTrimText({ trimDb, delaySeconds }: FeedTap): string {
  return [
    ...(trimDb === 0 ? [] : [plainDb(trimDb)]),
    ...(delaySeconds < LEAST_DELAY_SECONDS
      ? []
      : [`${formatDelay({ value: delaySeconds, plusMinus: 0 })} late`]),
  ].join(', ');
}

export function converterLines(feed: ChainFeed, knob: ChainNode['knob'], detail: Detail): string[] {
  const { restoration, delaySeconds } = feed;
  const brief = detail === 'brief';
  return [
    'Converter',
    ...(knob === null || brief ? [] : [`level ${knob.setTo > 0 ? '+' : ''}${plainDb(knob.setTo)}`]),
    ...(restoration === null
      ? []
      : [
          brief
            ? 'restoration'
            : `+${plainDb(restoration.boostDb)} bass${restoration.fromSetting === null ? '' : ` above ${formatSetting(restoration.fromSetting)}`}`,
        ]),
    ...(delaySeconds === 0 ? [] : [`delay ${formatDelay({ value: delaySeconds, plusMinus: 0 })}`]),
  ];
}

export function amplifierLines(feed: ChainFeed, knob: ChainNode['knob'], detail: Detail): string[] {
  const brief = detail === 'brief';
  return [
    capitalised(feed.amplifier?.name ?? 'amplifier'),
    ...(brief ? briefFilters(feed) : fullFilters(feed)),
    ...(knob === null || brief ? [] : [`gain at ${plainVolts(knob.setTo)}`]),
  ];
}

function fullFilters({ filters }: ChainFeed): string[] {
  return filters.map(({ type, state, cornerHz, slopeDbPerOctave }) =>
    state === 'open'
      ? `${type} open (radio's own)`
      : `${type} ${plainHz(cornerHz)}, ${fixed(slopeDbPerOctave, 0)} dB/oct`,
  );
}

/** "35–80 Hz", "80 Hz up": the band that the amplifier's own filters leave. */
function briefFilters({ filters }: ChainFeed): string[] {
  const corner = (type: 'high-pass' | 'low-pass') =>
    filters.find((filter) => filter.type === type && filter.state === 'set')?.cornerHz ?? null;
  const open = filters.filter(({ state }) => state === 'open').map(({ type }) => type);
  const band = bandText([corner('high-pass'), corner('low-pass')]);
  return [...(band === '' ? [] : [band]), ...(open.length === 0 ? [] : [`${listed(open)} open`])];
}

export function fedText({ output }: ChainFeed): string {
  return capitalised(output);
}

export function speakerLines({ load, wattsAtLoad }: ChainFeed, detail: Detail): string[] {
  if (load === null) return ['speakers not noted'];
  const { count, ohms, ratedWatts, factory, name } = load;
  const brief = detail === 'brief';
  const each = brief && count === 1 ? '' : `${count} \u00d7 `;
  const impedance = `${each}${brief ? Number(ohms.toPrecision(2)) : significant(ohms, 2)} \u03a9`;
  const rating = ratedWatts === null ? ' (rating?)' : ` of ${significant(ratedWatts, 2)} W`;
  const watts = wattsAtLoad === null ? [] : [`${significant(wattsAtLoad, 2)} W${brief ? '' : rating}`];
  const whose = factory ? ['factory'] : brief ? [] : [name];
  const lines = [[...whose, impedance].join(', '), ...watts];
  return brief ? [lines.join(', ')] : lines;
}

const SAID_IN_A_BOX: ReadonlySet<string> = new Set(['rating not noted', 'volts not known']);

/** Why there are no gains, then what the gains depend on. */
export function conditionTexts({ noGains, conditions }: ChainFeed, detail: Detail): string[] {
  // On the first screen the verdict stands beside it, and says why.
  if (detail === 'brief') return noGains.length > 0 ? ['No gain yet.'] : [];
  return [
    ...noGains.map((reason) => `No gain yet: ${asClause(reason)}.`),
    ...conditions
      .filter((reason) => !SAID_IN_A_BOX.has(codeOf(reason) ?? ''))
      .map((reason) => `${capitalised(asClause(reason))}.`),
  ];
}

/** "Fuse within 45 cm (18 in) of the battery; at full power the amplifiers draw 92 A." */
export function supplyText({ fullCurrentAmps }: ChainSupply): string {
  return `Fuse within 45 cm (18 in) of the battery. At full power the amplifiers draw ${fixed(fullCurrentAmps, 0)} A.`;
}

/** "100 A fuse": the one that is there where it is right. */
export function batteryText({ fuseAmps, fuseAtLeastAmps, fittedFuse }: ChainSupply): string {
  if (fittedFuse?.verdict === 'right') return `${fixed(fittedFuse.amps, 0)} A fuse`;
  return fuseAmps === null ? `fuse \u2265 ${fixed(fuseAtLeastAmps, 0)} A` : `${fixed(fuseAmps, 0)} A fuse`;
}

/** "Played from the stick. From a phone: 3.2 dB louder, stop at 22." Nothing where no other source was recorded. */
export function playersText(player: Chain['player'], source: string): string[] {
  const others = (player.others ?? []).map(({ source: other, levelDb, ceilingHz, cleanSetting }) => {
    const facts = [
      ...(levelDb === null ? [] : [`${plainDb(Math.abs(levelDb))} ${levelDb < 0 ? 'quieter' : 'louder'}`]),
      ...(ceilingHz === null ? [] : [`treble to ${plainHz(ceilingHz)}`]),
      cleanSetting === null ? 'clean setting not known' : `stop at ${formatSetting(cleanSetting)}`,
    ];
    return `From ${other}: ${facts.join(', ')}.`;
  });
  return others.length === 0 ? [] : [[`Played from ${source}.`, ...others].join(' ')];
}

/** "bass cut from about 24", "plus and minus swapped": what the radio does to an output. */
export function foundTexts({ bass, limiter, timing, law }: FoundOfOutput): string[] {
  const from = bass?.onset == null ? '' : ` from about ${formatSetting(Math.round(bass.onset.midpoint))}`;
  return [
    ...(bass?.verdict === 'falls with volume' ? [`bass cut${from}`] : []),
    ...(limiter === undefined ? [] : ['bass held by a limiter']),
    ...(timing?.polarity === 'inverted' ? ['plus and minus swapped'] : []),
    ...(law?.followsVolume === false ? ['fixed level'] : []),
  ];
}

export function factorySpeakerText(tap: Tap | undefined): string {
  return tap === undefined || tap.position === 'unknown' || tap.position === 'microphone'
    ? 'Speaker'
    : `${capitalised(tap.position)} speaker`;
}

export const CLIPS_FIRST = 'clips first';
export const SUM = 'sum';
export const NOT_USED = 'stays on the radio';
export const OUTPUT_CAUTION = 'Keep both wires off the chassis.';
export const BATTERY = 'Battery';
