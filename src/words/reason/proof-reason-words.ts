import type { proofReasons } from '../../model/reason/proof-reasons.ts';
import type { Reason } from '../../model/reason.ts';
import type { ReasonWords } from './reason-words.ts';

type Of<Code extends Reason['code']> = Extract<Reason, { code: Code }>;

export const proofReasonWords: ReasonWords<keyof typeof proofReasons> = {
  'nothing of the feed is heard': () => 'nothing of this feed rises out of the noise',
  'carries what was planned': ({ carries }) => `carries ${programme(carries)}, as planned`,
  'carries something else': ({ carries, wanted }) =>
    `carries ${programme(carries)} and should carry ${wanted === 'both' ? 'left and right' : wanted}: ${wiresToLookAt(carries, wanted)}`,
  'tap reaches the converter inverted': ({ tapId }) =>
    `${tapId} reaches the converter inverted: swap its two wires, or switch the polarity of that input`,
  'tap is missing from the sum': ({ tapId }) =>
    `${tapId} is missing from the sum: look for its wires, and for the summing switch of the converter`,
  'plan has no target volts': ({ node }) => `level not checked: the plan has no target volts at the ${node}`,
  'level not told without volts': () => 'level not checked: the recordings are not calibrated to volts',
  'level against the target': ({ db, withinDb }) =>
    `level ${signedDb(db)} against the target volts (within ${withinDb.toFixed(1)} dB)`,
  'level off the target': ({ db, knob, tooHighDb, until }) =>
    `${signedDb(db)} against the target volts: ${knob}, ${turnBy(tooHighDb)}${untilReading(until)}`,
  'restoration and gain look alike': () =>
    'restoration and gain look alike here: record a low setting and the highest clean one',
  'restoration gives': ({ db, ofDb, fault }) =>
    `bass restoration gives ${Math.max(0, db).toFixed(1)} dB of ${ofDb.toFixed(1)} dB${fault === 'none' ? '' : `: ${fault === 'off' ? 'it is off: switch it on' : turnBy(db - ofDb)}`}`,
  'filter is off': ({ filter, cornerHz }) =>
    `${filter} is off: switch it on, ${filter} at ${cornerHz.toFixed(0)} Hz`,
  'filter stands at': ({ filter, cornerHz }) => `${filter} at ${cornerHz.toFixed(0)} Hz`,
  'filter is off its corner': ({ filter, cornerHz, wantedHz }) =>
    `${filter} at ${cornerHz.toFixed(0)} Hz: turn it to ${wantedHz.toFixed(0)} Hz`,
  'bass against the plan': ({ setting, db, hz }) =>
    `bass at setting ${setting}: ${signedDb(db)} at ${hz.toFixed(0)} Hz against the plan`,
  'flatness against the plan': ({ fromHz, setting, db, hz }) =>
    `above ${fromHz} Hz at setting ${setting}: ${signedDb(db)} at ${hz.toFixed(0)} Hz at most against the plan`,
  'polarity needs a reference': () =>
    'polarity not checked: record this feed together with a full-range one in one file',
  'polarity lies between': () => 'polarity not checked: the phase lies half way between',
  'polarity as planned': () => 'polarity as planned',
  'every feed is inverted alike': () =>
    'polarity: every feed is inverted alike, which nobody hears; the recorder’s leads may be swapped',
  'polarity is wrong': ({ inverted, node }) =>
    `polarity ${inverted ? 'inverted' : 'not inverted as the seat wanted it'}: swap plus and minus at the ${node === 'amplifier output' ? 'loudspeaker terminals of the amplifier, or the polarity switch' : 'converter’s input'}`,
  'right level against left': ({ db, passes }) =>
    `right against left: ${signedDb(db)}${passes ? '' : ', more than planned: set both by the target volts'}`,
  'right arrival against left': ({ microseconds, output }) =>
    `right ${microseconds >= 0 ? 'later' : 'earlier'} than left by ${Math.abs(microseconds).toFixed(0)} µs${output === null ? '' : ` more than planned at ${output}: look at the delays of converter and processor`}`,
  'clipping needs the full track': () => 'clipping not checked: nobody recorded the full track',
  'clean up to the planned drive': () => 'clean up to the planned drive',
  'clips too early': ({ toneHz, driveDbFs, setting, voltsRms, knob, earlyDb, plannedVolts }) =>
    `clips at ${toneHz} Hz from ${driveDbFs.toFixed(1)} dBFS of drive at setting ${setting}${voltsRms === null ? '' : ` (${voltsRms.toFixed(1)} V RMS)`}: turn the ${knob} down by ${earlyDb.toFixed(1)} dB${plannedVolts === null ? '' : ` (planned were ${plannedVolts.toFixed(1)} V: look at its supply and its load too)`}`,
  'noise needs the full track': () => 'noise not checked: nobody recorded the full track',
  'noise volts are not known': () => 'noise not checked: its volts are not known or are the recorder’s own',
  'noise is explained': heard,
  'noise without a plan': (figures) => `${heard(figures)}; the plan has no figure to compare with`,
  'noise is too much': (figures) => `${heard(figures)}, ${noiseThan(figures)}: ${noiseAdvice(figures)}`,
};

function programme(carries: Of<'carries what was planned'>['carries']): string {
  return carries === 'difference' ? 'left minus right' : carries;
}

function wiresToLookAt(
  carries: Of<'carries something else'>['carries'],
  wanted: Of<'carries something else'>['wanted'],
): string {
  switch (carries) {
    case 'nothing':
      return 'look for a loose plug, a fuse, the turn-on wire';
    case 'difference':
      return 'one of the two sides is inverted on its way: swap its two wires at the converter';
    case 'left and right':
      return 'two channels are joined: look for a mono switch or a bridge at converter and amplifier';
    default:
      return wanted === 'both'
        ? `the ${carries === 'left' ? 'right' : 'left'} side is missing: look for its wires and its plug`
        : 'left and right are crossed: swap the plugs at converter or amplifier';
  }
}

/** With its sign: +3.0 dB; nothing has none. */
function signedDb(db: number): string {
  const size = Math.abs(db).toFixed(1);
  const sign = db < 0 ? '−' : '+';
  return `${size === '0.0' ? '' : sign}${size} dB`;
}

/** "turn it down by 3.0 dB". */
function turnBy(tooHighDb: number): string {
  return `turn it ${tooHighDb > 0 ? 'down' : 'up'} by ${Math.abs(tooHighDb).toFixed(1)} dB`;
}

/** A knob is not marked in decibels. */
function untilReading(until: Of<'level off the target'>['until']): string {
  if (until === null) return '';
  const { tone, setting, restoration, volts } = until;
  const state = restoration === 'none' ? '' : `, restoration ${restoration}`;
  return `, until ${tone} at setting ${setting}${state} reads ${Number(volts.toPrecision(3))} V`;
}

function heard({ voltsRms, node, setting }: Pick<Of<'noise is too much'>, 'voltsRms' | 'node' | 'setting'>) {
  return `noise ${Number((1000 * voltsRms).toPrecision(3))} mV at the ${node}, setting ${setting}`;
}

function noiseThan({ overDb, belowFullDb }: Of<'noise is too much'>): string {
  return overDb === null
    ? `only ${belowFullDb?.toFixed(0)} dB below full output`
    : `${overDb.toFixed(0)} dB more than radio and parts explain`;
}

function noiseAdvice({ linesHz }: Of<'noise is too much'>): string {
  return linesHz.length === 0
    ? 'hiss: turn the converter’s level up and the amplifier’s gain down by as much'
    : `hum or whine (${linesHz.map((hz) => `${hz.toFixed(0)} Hz`).join(', ')}): look at grounds, isolation and signal wires beside power wires`;
}
