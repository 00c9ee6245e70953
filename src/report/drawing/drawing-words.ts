import type { NotedWire } from '../../model/bay-notes.ts';
import type { Chain, ChainFeed, ChainNode, ChainSupply, ChainTap } from '../../model/chain.ts';
import { codeOf } from '../../model/reason.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { Tap } from '../../model/session.ts';
import {
  fixed,
  formatDelay,
  formatSetting,
  listed,
  plainDb,
  plainHz,
  plainVolts,
  significant,
} from '../format.ts';
import { asClause, capitalised } from '../wording/statement.ts';
import type { FoundOfOutput } from './found-chain.ts';

/** "3 kHz up", "below 1.9 kHz", "60 Hz to 3 kHz"; empty for full range. */
export function bandText([from, to]: ChainTap['bandHz']): string {
  if (from === null) return to === null ? '' : `below ${plainHz(to)}`;
  return to === null ? `${plainHz(from)} up` : `${plainHz(from)} to ${plainHz(to)}`;
}

/** "+ white (3), − white/black (4)"; empty where nobody noted them. */
export function wiresText({ plus, minus }: Tap): string {
  return [
    ...(plus === undefined ? [] : [`+ ${wireText(plus)}`]),
    ...(minus === undefined ? [] : [`\u2212 ${wireText(minus)}`]),
  ].join(', ');
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

function wireText({ colour, pin }: NotedWire): string {
  if (pin === undefined) return colour ?? '?';
  return colour === undefined ? `pin ${pin}` : `${colour} (${pin})`;
}

export function tapTrimText({ trimDb, delaySeconds }: FeedTap): string {
  return [
    ...(trimDb === 0 ? [] : [plainDb(trimDb)]),
    ...(delaySeconds === 0 ? [] : [`${formatDelay({ value: delaySeconds, plusMinus: 0 })} late`]),
  ].join(', ');
}

export function converterLines(feed: ChainFeed, knob: ChainNode['knob']): string[] {
  const { restoration, delaySeconds } = feed;
  return [
    'Converter',
    ...(knob === null ? [] : [`level ${knob.setTo > 0 ? '+' : ''}${plainDb(knob.setTo)}`]),
    ...(restoration === null
      ? []
      : [
          `+${plainDb(restoration.boostDb)} bass${restoration.fromSetting === null ? '' : ` above ${formatSetting(restoration.fromSetting)}`}`,
        ]),
    ...(delaySeconds === 0 ? [] : [`delay ${formatDelay({ value: delaySeconds, plusMinus: 0 })}`]),
  ];
}

export function amplifierLines(feed: ChainFeed, knob: ChainNode['knob']): string[] {
  const filters = feed.filters.map(({ type, state, cornerHz, slopeDbPerOctave }) =>
    state === 'open'
      ? `${type} open (radio's own)`
      : `${type} ${plainHz(cornerHz)}, ${fixed(slopeDbPerOctave, 0)} dB/oct`,
  );
  return [
    feed.amplifier?.name ?? 'Amplifier',
    ...filters,
    ...(knob === null ? [] : [`gain at ${plainVolts(knob.setTo)}`]),
  ];
}

export function fedText({ output }: ChainFeed): string {
  return capitalised(output);
}

export function speakerLines({ load, wattsAtLoad }: ChainFeed): string[] {
  if (load === null) return ['speakers not noted'];
  const { count, ohms, ratedWatts, factory, name } = load;
  const watts =
    wattsAtLoad === null
      ? []
      : [
          `${significant(wattsAtLoad, 2)} W${ratedWatts === null ? ' (rating?)' : ` of ${significant(ratedWatts, 2)} W`}`,
        ];
  return [`${factory ? 'factory' : name}, ${count} \u00d7 ${significant(ohms, 2)} \u03a9`, ...watts];
}

const SAID_IN_A_BOX: ReadonlySet<string> = new Set(['rating not noted', 'volts not known']);

/** Why there are no gains, then what the gains depend on. */
export function conditionTexts({ noGains, conditions }: ChainFeed): string[] {
  return [
    ...noGains.map((reason) => `No gain yet: ${asClause(reason)}.`),
    ...conditions
      .filter((reason) => !SAID_IN_A_BOX.has(codeOf(reason) ?? ''))
      .map((reason) => `${capitalised(asClause(reason))}.`),
  ];
}

/** "Battery, 100 A fuse within 45 cm (18 in); the amplifiers draw up to 92 A." */
export function supplyText({ fuseAmps, fuseAtLeastAmps, fullCurrentAmps }: ChainSupply): string {
  const fuse =
    fuseAmps === null ? `fuse of at least ${fixed(fuseAtLeastAmps, 0)} A` : `${fixed(fuseAmps, 0)} A fuse`;
  return `Battery: ${fuse} within 45 cm (18 in); full power draws ${fixed(fullCurrentAmps, 0)} A`;
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
export const SWAP = 'swap +/\u2212';
export const SUM = 'sum';
export const NOT_USED = 'stays on the radio';
export const OUTPUT_CAUTION = 'Keep both wires off the chassis.';
