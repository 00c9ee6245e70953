import { decibelsOfPower, ratioOf } from '../../dsp/decibels.ts';
import { median } from '../../dsp/statistics.ts';
import { findingsOf } from '../../model/finding.ts';
import { type FeedTap, type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import { isTrusted } from '../../model/response.ts';
import type { Results } from '../../model/results.ts';
import type { Programme } from '../../tones/track.ts';
import { listed } from '../../words/figures.ts';
import { formatSetting, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import { feedName, feedTapText } from '../wording/feed-words.ts';
import { capitalised } from '../wording/statement.ts';
import { alikeGroups, apartDb, SAME_CURVE_DB, twinsText } from './alike.ts';
import { seriesStyle } from './curve-style.ts';
import { type CurveDb, complexOf, decibelCell, measurementsOf } from './curves.ts';
import { type Chart, type ChartTable, frequencyAxis, plotText, rounded, type Trace } from './figure.ts';

type Feed = RecommendationOf<'feed'>;

const POINT_STEP = 2;
const TABLE_STEP = 16;
const FROM_HZ = 18;
const TO_HZ = 20_500;
/** A deeper hole runs along the foot of the picture. */
const DEEPEST_DB = -42;

interface SumCurve {
  readonly name: string;
  /** Null where nothing of it was trusted. */
  readonly db: CurveDb;
  readonly style: Pick<Trace, 'mode' | 'line' | 'marker'>;
}

/** A feed with its taps and sums, decibels against the middle of the sum as advised. */
interface FeedCurves {
  readonly feed: Feed;
  /** The tap that is turned round in the second curve. */
  readonly last: string;
  /** The sum as advised, the sum wired wrongly, then each tap alone. */
  readonly curves: readonly SumCurve[];
}

/** Taps beside their sum, and the sum as it would be with one of them the other way round; feeds that look alike share a picture. */
export function sumCharts(results: Results): Chart[] {
  const feeds = recommendationsOf(results.recommendations, 'feed').filter(({ taps }) => taps.length > 1);
  const drawable = feeds.flatMap((feed) => feedCurves(results, feed) ?? []).filter(saysMoreThanWords);
  return alikeGroups(drawable, (a, b) => feedsApartDb(a, b) < SAME_CURVE_DB).map((group, i) =>
    sumChart(results, group, i),
  );
}

/** Taps that lie all along under their sum, a level below it, only add up: that is a sentence, and "What comes out?" has the curve. */
function saysMoreThanWords({ curves: [sum, , ...parts] }: FeedCurves): boolean {
  return parts.some(({ db }) => {
    const below = db.flatMap((level, i) => {
      const whole = sum.db[i];
      return level === null || whole === null ? [] : [whole - level];
    });
    return below.length === 0 || Math.max(...below) - Math.min(...below) > SAME_CURVE_DB;
  });
}

/** By sum and taps: the walls of the hole are too steep to be compared. Infinite where the feeds differ in kind. */
function feedsApartDb(a: FeedCurves, b: FeedCurves): number {
  const frame = ({ feed, curves }: FeedCurves) =>
    JSON.stringify([feed.setting, feed.summed, feed.unknownTiming === null, curves.length]);
  if (frame(a) !== frame(b)) return Number.POSITIVE_INFINITY;
  return Math.max(...a.curves.flatMap(({ db }, k) => (k === 1 ? [] : [apartDb(db, b.curves[k].db)])));
}

function feedCurves(results: Results, feed: Feed): FeedCurves | null {
  const parts = feed.taps.map((tap) => ({ tap, values: phasorsOf(results, feed, tap) }));
  if (parts.some(({ values }) => values === null)) return null;
  const values = parts.map((part) => part.values as Phasor[]);
  const sum =
    feed.sumDb ??
    added(
      values,
      values.map(() => 1),
    );
  const wrong = added(
    values,
    values.map((_, k) => (k === values.length - 1 ? -1 : 1)),
  );
  const middle = middleLevel(sum, results.frequencyHz);
  const label = (tapId: string) => results.session.taps.find((tap) => tap.id === tapId)?.label ?? tapId;
  const last = label(feed.taps[feed.taps.length - 1].tapId);
  const curves = [
    {
      name: feed.unknownTiming === null ? 'the sum' : 'the sum, if the timing were as recorded',
      db: sum,
      style: sumStyle(),
    },
    { name: `${last} the wrong way round`, db: withoutHum(wrong, sum), style: wrongStyle() },
    ...parts.map(({ tap }, k) => ({
      name: `${feedTapText(tap, label)} alone`,
      db: values[k].map((value, i) => (isTrustedTap(results, feed, tap, i) ? levelDb(value) : null)),
      style: seriesStyle(k + 1, 1.25),
    })),
  ].map((curve) => ({ ...curve, db: curve.db.map((value) => (value === null ? null : value - middle)) }));
  return { feed, last, curves };
}

function sumChart(results: Results, group: readonly [FeedCurves, ...FeedCurves[]], i: number): Chart {
  const [drawn] = group;
  const shown = results.frequencyHz.flatMap((hz, k) => (hz >= FROM_HZ && hz <= TO_HZ ? [k] : []));
  const points = shown.filter((k) => k % POINT_STEP === 0);
  const names = group.map(({ feed }) => feedName(feed));
  const apart = Math.max(0, ...group.slice(1).map((other) => feedsApartDb(drawn, other)));
  return {
    id: `sum-${i + 1}`,
    title: `How even is the sum? ${capitalised(listed(names))}`,
    caption: say`${caption(results, drawn)}${twinsText(names, apart)}`,
    figure: {
      data: drawn.curves.map(({ name, db, style }) => ({
        type: 'scatter',
        name: plotText(name),
        x: points.map((k) => rounded(results.frequencyHz[k])),
        y: points.map((k) => {
          const level = db[k];
          return level === null ? null : rounded(Math.max(DEEPEST_DB, level));
        }),
        ...style,
        hovertemplate: '%{y:.1f} dB',
      })),
      layout: {
        xaxis: frequencyAxis(FROM_HZ, TO_HZ),
        yaxis: { title: { text: 'Level against the sum, dB' }, range: [DEEPEST_DB, 12], dtick: 6 },
        height: 320,
        hovermode: 'x unified',
        showlegend: true,
      },
    },
    figureInDbu: null,
    tables: group.map((one) => sumTable(results, one, shown)),
    shows: group.flatMap(({ feed }) => [feed.id, ...crossoversOf(results, feed)]),
  };
}

function sumTable(results: Results, { feed, curves }: FeedCurves, shown: readonly number[]): ChartTable {
  return {
    name: feedName(feed),
    columns: ['Frequency', ...curves.map(({ name }) => `${name}, dB`)],
    rows: shown
      .filter((k) => k % TABLE_STEP === 0)
      .map((k) => [plainHz(results.frequencyHz[k]), ...curves.map(({ db }) => decibelCell(db[k]))]),
  };
}

interface Phasor {
  readonly re: number;
  readonly im: number;
}

/**
 * A tap as the feed takes it: trimmed, delayed and turned round, in the units of the feed's own sum (volts where every
 * tap is calibrated); null where it was not recorded at that setting.
 */
function phasorsOf(results: Results, feed: Feed, tap: FeedTap): Phasor[] | null {
  const recorded = feed.taps.map(({ tapId }) =>
    measurementsOf(results, tapId).find(({ setting }) => setting === feed.setting),
  );
  const measurement = recorded[feed.taps.indexOf(tap)];
  if (measurement === undefined) return null;
  const calibrated = recorded.every((one) => one?.voltsPerFullScale != null);
  const scale = calibrated ? (measurement.voltsPerFullScale?.volts ?? 1) : 1;
  const gain = scale * ratioOf(tap.trimDb) * (tap.polarity === 'inverted' ? -1 : 1);
  const programme: Programme = feed.side;
  return complexOf(measurement, programme).map(({ re, im }, i) => {
    const angle = -2 * Math.PI * results.frequencyHz[i] * tap.delaySeconds;
    const cos = Math.cos(angle);
    const sin = Math.sin(angle);
    return { re: gain * (re * cos - im * sin), im: gain * (re * sin + im * cos) };
  });
}

/** Below and above what was trusted of a tap there is hum and noise, and nothing of it goes into the sum. */
function isTrustedTap(
  { measurements, frequencyHz }: Results,
  feed: Feed,
  { tapId }: FeedTap,
  i: number,
): boolean {
  const measurement = measurements.find((one) => one.tapId === tapId && one.setting === feed.setting);
  const sides = measurement === undefined ? [] : [measurement.left, measurement.right];
  return sides.some((side) => isTrusted(side, frequencyHz[i]));
}

function added(values: readonly (readonly Phasor[])[], signs: readonly number[]): number[] {
  return values[0].map((_, i) =>
    levelDb(
      values.reduce(
        (sum, part, k) => ({ re: sum.re + signs[k] * part[i].re, im: sum.im + signs[k] * part[i].im }),
        { re: 0, im: 0 },
      ),
    ),
  );
}

/** A null is drawn as a very deep hole, not as minus infinity. */
const LOWEST_LEVEL_DB = -200;

function levelDb({ re, im }: Phasor): number {
  return Math.max(LOWEST_LEVEL_DB, decibelsOfPower(re * re + im * im));
}

/** Median between 50 Hz and 15 kHz: the level that the sum mostly has. */
function middleLevel(sum: readonly number[], frequencyHz: readonly number[]): number {
  return median(sum.filter((_, i) => frequencyHz[i] >= 50 && frequencyHz[i] <= 15_000));
}

function caption(results: Results, { feed, last }: FeedCurves): Sentence {
  const crossover = findingsOf(results.findings, 'crossover').find(({ id }) =>
    crossoversOf(results, feed).includes(id),
  );
  const where = crossover === undefined ? '' : `, most of it near ${plainHz(crossover.frequencyHz.value)}`;
  return say`Heavy: the sum as advised, at ${formatSetting(feed.setting)}. Dotted: the hole with ${last} the wrong way round${where}.`;
}

function crossoversOf(results: Results, feed: Feed): string[] {
  const ids = feed.taps.map(({ tapId }) => tapId);
  return findingsOf(results.findings, 'crossover')
    .filter(({ lowTapId, highTapId }) => ids.includes(lowTapId) && ids.includes(highTapId))
    .map(({ id }) => id);
}

/** A leftover that far below the sum is hum and noise, which do not cancel: their lines are no part of the sum. */
const LEFTOVER_DB = 20;
/** Half a sixth of an octave to either side: wider than a line, narrower than any hole of a crossover. */
const BESIDE_POINTS = 13;

/** A cancelled sum without the lines that hum leaves in it: what stands out of its own surroundings is drawn as they are. */
function withoutHum(cancelled: readonly number[], sum: readonly number[]): number[] {
  return cancelled.map((db, i) => {
    const usual = median(cancelled.slice(Math.max(0, i - BESIDE_POINTS), i + BESIDE_POINTS + 1));
    return usual < sum[i] - LEFTOVER_DB ? Math.min(db, usual) : db;
  });
}

function sumStyle() {
  return { mode: 'lines' as const, line: { color: '--ink', width: 3, dash: 'solid' } };
}

function wrongStyle() {
  return { mode: 'lines' as const, line: { color: '--warn', width: 2, dash: 'dot' } };
}
