import { evaluateSections, lowShelfSections } from '../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../src/model/equipment.ts';
import type { Results } from '../../src/model/results.ts';
import type { Position } from '../../src/model/session.ts';
import type { Verification } from '../../src/model/verification.ts';
import { verify } from '../../src/verify/verify.ts';
import type { ExactTap } from '../findings/exact-responses.ts';
import { sessionOf, tapOf } from '../findings/synthetic.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { FULL_RANGE, pair, planInput } from '../recommend/synthetic.ts';
import { recording } from './exact-recordings.ts';

/** A radio and its install as formulas: two front outputs of 8 V at 32, whose bass falls by 8 dB on the way up. */
const LOSS_DB: Readonly<Record<number, number>> = { 24: -2, 28: -5, 32: -8 };
const SHELF = { frequencyHz: 160, q: Math.SQRT1_2 };
export const RADIO_VOLTS = 8;
/** What the example converter gives, and V = sqrt(P R) of the amplifiers (closed form). */
export const LINE_VOLTS = 4;
export const FRONT_VOLTS = Math.sqrt(75 * 4);
export const SUB_VOLTS = Math.sqrt(500 * 4);

export function exactPlan(mono: { gainOverlapDb?: number } = {}): Results {
  const equipment: EquipmentInput = {
    converter: {
      inputs: 4,
      inputLimitVoltsRms: 20,
      outputLimitVoltsRms: LINE_VOLTS,
      summing: 'any',
      restoration: { kind: 'dynamic', maximumDb: 12 },
    },
    amplifiers: [
      {
        name: 'mains',
        feeds: ['front'],
        ratedWatts: 75,
        channels: 2,
        highPass: { rangeHz: [50, 200], slopeDbPerOctave: 24 },
      },
      {
        name: 'mono',
        feeds: ['subwoofer'],
        ratedWatts: 500,
        sensitivityRangeVoltsRms: [0.2, 6],
        lowPass: { rangeHz: [50, 200], slopeDbPerOctave: 24 },
        ...mono,
      },
    ],
  };
  const input = planInput({
    taps: pair('front', {
      band: FULL_RANGE,
      response: (frequencyHz, setting) =>
        evaluateSections(lowShelfSections({ gainDb: LOSS_DB[setting] ?? 0, q: SHELF.q }), {
          frequencyHz,
          cornerHz: SHELF.frequencyHz,
          sampleRateHz: null,
        }),
    }),
    settings: [12, 16, 20, 24, 28, 32],
    volts: { at: 32, rms: RADIO_VOLTS },
    railVoltsPeak: 12.6,
    bassChange: {
      verdict: 'falls with volume',
      plateauSettings: [12, 16, 20],
      onset: { lastIntact: 20, firstChanged: 24, midpoint: 22, atHz: 50, thresholdDb: 0.5 },
    },
    equipment,
  });
  return resultsOf(input);
}

/** A recording of one feed: volts of a full-scale tone at 1 kHz (a subwoofer's: in the bass) at setting 32. */
export interface ExactFeed {
  readonly id: string;
  readonly position: Position;
  readonly side: 'left' | 'right' | 'both';
  /** The music that comes there, where that is not its side's. */
  readonly carries?: 'left' | 'right' | 'both';
  readonly volts: number;
  readonly tap?: ExactTap | undefined;
  /** Keeps the radio's loss: mains do, and a subwoofer with its restoration off. */
  readonly losesBass: boolean;
  readonly timeOrigin?: string | undefined;
}

const CORNER = { family: 'linkwitz-riley', order: 4, cornerHz: 80 } as const;

export const FRONT_LEFT: ExactFeed = {
  id: 'front-left',
  position: 'front',
  side: 'left',
  volts: FRONT_VOLTS,
  losesBass: true,
  tap: { edges: [{ ...CORNER, side: 'high-pass' }] },
};
export const FRONT_RIGHT: ExactFeed = { ...FRONT_LEFT, id: 'front-right', side: 'right' };
export const SUB: ExactFeed = {
  id: 'subwoofer',
  position: 'subwoofer',
  side: 'both',
  volts: SUB_VOLTS,
  losesBass: false,
  tap: { edges: [{ ...CORNER, side: 'low-pass' }] },
};
/** The same before the amplifier and its filter. */
export const atLine = (feed: ExactFeed): ExactFeed => ({
  ...feed,
  id: `${feed.id}-line`,
  volts: LINE_VOLTS,
  tap: {},
});
export const louder = (feed: ExactFeed, db: number): ExactFeed => ({
  ...feed,
  volts: feed.volts * 10 ** (db / 20),
});

export const INPUT = { file: 'front.wav', sha256: '0'.repeat(64), byteLength: 1 };
export const NOTE = { file: 'front.wav', reason: { code: 'volts not known' } } as const;

export function installed(plan: Results, ...feeds: ExactFeed[]): Verification {
  const measurements = feeds.flatMap((feed) =>
    [20, 32].map((setting) => {
      const loss = { kind: 'low shelf', ...SHELF, gainDb: LOSS_DB[setting] ?? 0 } as const;
      const tap: ExactTap = {
        ...feed.tap,
        gainDb: setting - 32 + (feed.tap?.gainDb ?? 0),
        eq: [...(feed.losesBass ? [loss] : []), ...(feed.tap?.eq ?? [])],
      };
      // A feed of both sides halves each, so that both together are its volts.
      const half = { ...tap, gainDb: (tap.gainDb ?? 0) - 20 * Math.log10(2) };
      const side = feed.carries ?? feed.side;
      return recording({
        left: side === 'both' ? half : side === 'left' ? tap : null,
        right: side === 'both' ? half : side === 'right' ? tap : null,
        setting,
        volts: feed.volts,
        timeOrigin: feed.timeOrigin ?? `setting ${setting}`,
        more: { tapId: feed.id },
      });
    }),
  );
  const session = sessionOf(feeds.map(({ id, position, side }) => tapOf({ id, position, side })));
  return verify({ plan, session, measurements, notes: [NOTE], toolVersion: 'test', inputs: [INPUT] });
}
