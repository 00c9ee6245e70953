import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { type RecommendationOf, recommendationsOf, type Target } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { fixed, formatSetting, plainDb, plainHz } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';

/** What a customer complains of, the two measurements that settle it, and where in the chain to look. */
interface Comeback {
  readonly complaint: string;
  readonly first: Sentence;
  readonly second: Sentence;
  readonly look: string;
}

/** The complaints that come back, with this car's own numbers (common practice for what to measure and where to look). */
export function comebacks(results: Results): Comeback[] {
  const sub = knobsOf(results, 'subwoofer');
  const any = knobsOf(results, null);
  return [
    {
      complaint: 'No bass',
      first: reading('At the subwoofer amplifier', sub.amplifier?.targets, 'off'),
      second: reading('The same with restoration on', sub.amplifier?.targets, 'on'),
      look: 'Restoration, polarity, low-pass, fuse of that branch; the radio past its highest clean setting.',
    },
    {
      complaint: 'Bass goes when it is loud',
      first: bassGoes(results),
      second: say`Supply at the amplifier while the bass plays loud: a fall of 1 V or more costs bass.`,
      look: 'Limit of the restoration, limiter of the radio, supply wire and ground.',
    },
    {
      complaint: 'Hiss',
      first: hiss(results),
      second: say`The same with the amplifier's inputs shorted. Still there: the amplifier makes it.`,
      look: 'Amplifier gain too high with the converter too low; then the converter.',
    },
    {
      complaint: 'Whine with the engine',
      first: say`Noise at the speaker at idle and at 3000 rpm, in open air. It moves with the engine: the supply makes it.`,
      second: say`The same with the amplifier's inputs shorted. Gone: it comes along the signal wires.`,
      look: 'Ground points, signal wire beside the supply wire, shared grounds before the converter.',
    },
    {
      complaint: 'Thump when it turns on',
      first: say`Seconds from radio on to amplifier on: it should come on last.`,
      second: say`The same at turn-off: it should go off first.`,
      look: 'Turn-on delay of the amplifier; the turn-on line.',
    },
    {
      complaint: 'One side weak',
      first: outputs(results),
      second: reading(
        'Left and right behind the converter, the same within half a decibel',
        any.converter?.targets,
        null,
      ),
      look: 'The first place where left and right part; behind it nothing is wrong.',
    },
    {
      complaint: 'Cuts out when it is loud',
      first: supply(results),
      second: say`Resistance of the speakers on each channel, unplugged: not below what the amplifier is rated for.`,
      look: 'Supply wire, ground, fuse holder; too low a load; heat.',
    },
    {
      complaint: 'Harsh',
      first: harsh(results),
      second: say`The same song from the stick that came with the test. Clean: the source is at fault.`,
      look: 'Volume past the highest clean setting, tone controls, a lossy source.',
    },
  ];
}

interface Knobs {
  readonly converter: RecommendationOf<'converter-level'> | undefined;
  readonly amplifier: RecommendationOf<'amplifier-gain'> | undefined;
}

function knobsOf({ recommendations }: Results, output: string | null): Knobs {
  const own = <Item extends { output: string }>(items: readonly Item[]) =>
    items.find((item) => output === null || item.output === output);
  return {
    converter: own(recommendationsOf(recommendations, 'converter-level')),
    amplifier: own(recommendationsOf(recommendations, 'amplifier-gain')),
  };
}

function reading(
  where: string,
  targets: readonly Target[] | undefined,
  restoration: 'off' | 'on' | null,
): Sentence {
  const known = (targets ?? []).filter(({ voltsRms, overLimit }) => !overLimit && !isNotMeasurable(voltsRms));
  const wanted = known.find(({ setBy }) => setBy) ?? known[0];
  const target =
    restoration === 'on'
      ? known.find(
          (one) =>
            one.restoration === 'on' && one.toneHz === wanted?.toneHz && one.driveDbFs === wanted.driveDbFs,
        )
      : wanted;
  if (target === undefined || isNotMeasurable(target.voltsRms))
    return say`${where}: compare with what was written down when it left. No target is known.`;
  const { toneHz, driveDbFs, setting } = target;
  return say`${where}: ${plainHz(toneHz)}, ${fixed(driveDbFs, 0)} dBFS at ${formatSetting(setting)} reads ${volts(target.voltsRms.value)}.`;
}

function bassGoes(results: Results): Sentence {
  const [restoration] = recommendationsOf(results.recommendations, 'restoration');
  const [limiter] = findingsOf(results.findings, 'bass-limiter');
  if (limiter !== undefined)
    return say`A 55 Hz tone, turned up: this radio's limiter holds it, whatever is set.`;
  if (restoration?.verdict === 'restore') {
    const from = restoration.fromSetting === null ? '' : ` above ${formatSetting(restoration.fromSetting)}`;
    return say`A 55 Hz tone at a low and at the highest clean setting: the radio cuts bass${from}, restoration adds up to ${plainDb(restoration.amountDb)}.`;
  }
  return say`A 55 Hz tone at a low and at the highest clean setting: at the output it keeps step with 1 kHz.`;
}

function hiss({ recommendations }: Results): Sentence {
  const noise = recommendationsOf(recommendations, 'gain-structure').flatMap((item) => item.noise ?? []);
  if (noise.length === 0) return say`Noise at the speaker with the radio on and silent.`;
  const most = noise.reduce((top, one) => (one.atSpeakerVolts > top.atSpeakerVolts ? one : top));
  return say`Noise at the speaker with the radio on and silent: about ${volts(most.atSpeakerVolts)} as planned.`;
}

function endsBelow1Khz({ highEdge }: FindingOf<'band'>): boolean {
  return highEdge !== null && !isNotMeasurable(highEdge.minus3Hz) && highEdge.minus3Hz.value < 1000;
}

function outputs({ chain, recommendations, findings }: Results): Sentence {
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  const level =
    clean === undefined || isNotMeasurable(clean.midBandVoltsRms) ? null : clean.midBandVoltsRms.value;
  const setting = chain?.volume.setting ?? clean?.recorded ?? null;
  if (level === null || setting === null)
    return say`Left and right at the radio's outputs, with the same tone.`;
  const [band] = findingsOf(findings, 'band').filter(({ tapIds }) => tapIds[0] === clean?.limitingTapId);
  const tone = band !== undefined && endsBelow1Khz(band) ? 'a tone in its own band' : '1 kHz';
  return say`Left and right at the radio's outputs: ${tone} at ${formatSetting(setting)} reads ${volts(level)}.`;
}

function supply({ chain }: Results): Sentence {
  if (chain?.supply == null)
    return say`Supply at the amplifier while it plays loud: ${STOPS_AT} makes it stop.`;
  return say`Supply at the amplifier at full power (${fixed(chain.supply.fullCurrentAmps, 0)} A): ${STOPS_AT} makes it stop.`;
}

/** Where car amplifiers switch off (common practice). */
const STOPS_AT = '11 V or less (22 V on a 24 V supply)';

function harsh({ recommendations }: Results): Sentence {
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  if (clean === undefined || clean.recorded === null)
    return say`Distortion at the radio's output at the customer's setting.`;
  return say`The customer's volume setting: above ${formatSetting(clean.recorded)} the radio itself may clip.`;
}
