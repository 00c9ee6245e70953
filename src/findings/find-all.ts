import type { Doubt } from '../model/doubt.ts';
import type { Finding, NoiseTake } from '../model/finding.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Reason } from '../model/reason.ts';
import type { Session } from '../model/session.ts';
import { findTiming } from './arrival/timing.ts';
import { findBand } from './band/band.ts';
import { carriedResponse } from './band/carried-response.ts';
import { findCommonCeiling } from './band/common-ceiling.ts';
import { findCrossovers } from './band/crossover.ts';
import { fitTap, isFitted } from './band/fitted-tap.ts';
import { recorderLowEndDoubts } from './band/recorder-low-end.ts';
import { findBassChanges } from './bass/bass-change.ts';
import { findBassLimiter } from './bass/bass-limiter.ts';
import { linearResponse } from './bass/linear-response.ts';
import { findCleanSettings } from './clipping/clean-settings.ts';
import { findClipping } from './clipping/clipping.ts';
import { findRail, voltsWithheld } from './clipping/rail.ts';
import { recorderCeilingDoubts } from './clipping/recorder-ceiling.ts';
import { findRecorderClipping } from './clipping/recorder-clipping.ts';
import { findNoise } from './noise/noise.ts';
import { noiseByEngine } from './noise/noise-by-engine.ts';
import { type TapSeries, tapSeries } from './tap-series.ts';
import { findVolumeLaw } from './volume-law.ts';
import { automaticGainDoubts } from './withheld/automatic-gain.ts';
import { microphoneDoubts } from './withheld/microphone.ts';
import { oddSettingDoubts } from './withheld/odd-settings.ts';
import { underDoubt } from './withheld/under-doubt.ts';

interface Measured {
  readonly session: Session;
  readonly measurements: readonly TapMeasurement[];
  readonly noiseTakes?: readonly (NoiseTake & { tapId: string; file: string; channel: number })[];
  /** Of takes, as measuring them found. */
  readonly doubts?: readonly Doubt[];
}

/**
 * Everything that the measurements say about the radio, each finding with its evidence. Where the volts at which an output
 * clips contradict its supply, all volts are withheld until the question is answered.
 */
export function findAll({ session, measurements, noiseTakes = [], doubts = [] }: Measured): Finding[] {
  const known = [...doubts, ...oddSettingDoubts({ session, measurements, doubts })];
  const series = tapSeries({ session, measurements, doubts: known });
  const ceiling = findCommonCeiling(series);
  const taps = series.map((one) => fittedTap(one, ceiling?.ceilingHz ?? null));
  const bands = taps.map(findBand);
  const found = [
    ...findBassChanges(series),
    ...bands,
    ...findCrossovers(taps.filter(isFitted)),
    ...findTiming({ taps: taps.filter(isFitted), referenceTapId: session.referenceTapId }),
    ...series.flatMap((tap) => ofTapAlone(tap, session)),
    ceiling,
  ];
  const heard = noiseByEngine(found, noiseTakes).filter((finding) => finding !== null);
  const findings = underDoubt(heard, {
    doubts: [
      ...known,
      ...automaticGainDoubts(measurements).filter((one) => !isKnown(one, known)),
      ...microphoneDoubts(session),
      ...recorderCeilingDoubts(heard, series),
      ...recorderLowEndDoubts(bands, taps),
    ],
    measurements,
  });
  const question = voltsWithheld(findings);
  return question === null
    ? findings
    : underDoubt(findings, { doubts: [voltsDoubt(series, question)], measurements });
}

function fittedTap({ tap, carries, measurements, takes }: TapSeries, ceilingHz: number | null) {
  return fitTap({
    tapId: tap.id,
    carries,
    measurements,
    ceilingHz,
    responseOf: (one) => {
      const take = takes.find(({ measurement }) => measurement === one);
      return take === undefined ? carriedResponse(one, carries) : linearResponse(take, carries);
    },
  });
}

/** What needs no other tap beside it. */
function ofTapAlone(tap: TapSeries, session: Session): (Finding | null)[] {
  return [
    tap.routing,
    findVolumeLaw(tap),
    ...findClipping(tap),
    findCleanSettings(tap),
    findRail({ series: tap, session }),
    findRecorderClipping(tap),
    findBassLimiter(tap),
    findNoise(tap),
  ];
}

/** Whether a take's own gain is in doubt already. */
function isKnown({ tapIds }: Doubt, doubts: readonly Doubt[]): boolean {
  return doubts.some((one) => one.kind === 'gain' && tapIds.every((id) => one.tapIds.includes(id)));
}

/** One calibration serves all taps: where one contradicts its supply, the volts of none are sure. */
function voltsDoubt(series: readonly TapSeries[], question: Reason): Doubt {
  return {
    kind: 'volts',
    reason: question,
    tapIds: series.map(({ tap }) => tap.id),
    settings: null,
  };
}
