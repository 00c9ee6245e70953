import type { MeasurementRecord, Results } from '../../src/model/results.ts';
import { evidenceOf, exampleResults, SETTINGS } from './example-results.ts';

/**
 * The largest session that the page is made for, 8 taps at 10 settings, and the worst for it: each tap and each setting
 * has a slope of its own, so that no two curves and no two taps can be drawn as one. Figures mean nothing here.
 */
export function largeResults(): Results {
  const results = exampleResults();
  const taps = [
    ...results.session.taps,
    ...['shelf-l', 'shelf-r'].map((id) => ({ ...results.session.taps[4], id, label: `${id} speaker` })),
  ];
  const settings = [...SETTINGS, 39, 40];
  const measurements = taps.flatMap(({ id }, t) =>
    settings.map((setting, s) => {
      const like = results.measurements[(t % 6) * SETTINGS.length + (s % SETTINGS.length)];
      return sloped({ ...like, tapId: id, setting, evidence: [evidenceOf(id, setting)] }, t + 1, s);
    }),
  );
  const { findings } = results;
  const perTap = findings.filter(({ kind }) =>
    ['bass-change', 'clipping', 'clean-settings', 'volume-law', 'noise', 'band'].includes(kind),
  );
  const copied = taps.flatMap(({ id }, t) =>
    perTap
      .filter(({ kind }, i) => perTap.findIndex((other) => other.kind === kind) === i)
      .map((finding) => shifted({ ...finding, id: `${finding.kind}:${id}:large`, tapIds: [id] }, t)),
  );
  return {
    ...results,
    session: { ...results.session, taps, settings },
    measurements,
    findings: [...findings, ...copied],
  };
}

/** Decibels a decade that grow with tap and setting, about 1 kHz. */
function sloped(measurement: MeasurementRecord, tap: number, setting: number): MeasurementRecord {
  const tilt = (response: MeasurementRecord['left']) => ({
    ...response,
    magnitudeDb: response.magnitudeDb.map((db, i) => db + ((i - 320) / 160) * (tap + 0.7 * setting)),
  });
  return { ...measurement, left: tilt(measurement.left), right: tilt(measurement.right) };
}

/** Bass that changes by other figures at every tap. */
function shifted(finding: Results['findings'][number], tap: number): Results['findings'][number] {
  if (finding.kind !== 'bass-change') return finding;
  const changes = finding.changes.map(({ setting, changeDb }) => ({
    setting,
    changeDb: changeDb.map((change) =>
      'value' in change ? { ...change, value: change.value - tap } : change,
    ),
  }));
  return { ...finding, changes };
}

/** Far more than the page is made for: 16 taps at 64 settings, no two alike. */
export function hugeResults(): Results {
  const results = exampleResults();
  const taps = Array.from({ length: 16 }, (_, t) => ({
    ...results.session.taps[0],
    id: `tap-${t}`,
    label: `tap ${t}`,
  }));
  const settings = Array.from({ length: 64 }, (_, s) => s + 1);
  const measurements = taps.flatMap(({ id }, t) =>
    settings.map((setting, s) => {
      const like = results.measurements[s % results.measurements.length];
      return sloped({ ...like, tapId: id, setting, evidence: [evidenceOf(id, setting)] }, t + 1, 0.2 * s);
    }),
  );
  const firsts = results.findings.filter(
    ({ kind }, i) => results.findings.findIndex((other) => other.kind === kind) === i,
  );
  const findings = firsts.flatMap((finding) =>
    taps.map(({ id }, t) => ({
      ...shifted(atSettings(finding, settings), t),
      id: `${finding.id}-${t}`,
      tapIds: [id],
    })),
  );
  return { ...results, session: { ...results.session, taps, settings }, measurements, findings };
}

/** A finding with an entry at each setting. */
function atSettings(
  finding: Results['findings'][number],
  settings: readonly number[],
): Results['findings'][number] {
  const spread = <Entry>(entries: readonly Entry[]) =>
    settings.map((setting, i) => ({ ...entries[i % entries.length], setting }));
  if (finding.kind === 'bass-change') return { ...finding, changes: spread(finding.changes) };
  if (finding.kind === 'volume-law') return { ...finding, levels: spread(finding.levels) };
  return finding.kind === 'clipping' ? { ...finding, perSetting: spread(finding.perSetting) } : finding;
}
