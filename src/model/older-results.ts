type Fields = Readonly<Record<string, unknown>>;

/** Until the clean settings of a tap became a finding of their own, each of its clipping findings held them. */
const CLEAN_FIELDS = [
  'highestCleanRecorded',
  'firstClippingRecorded',
  'highestCleanComputed',
  'mostBoostedHz',
  'triedHz',
] as const;

/** Fields of recommendations that have other names since. */
const RENAMED = [
  { kind: 'highest-clean-setting', from: 'untold', to: 'notKnown' },
  { kind: 'filter', from: 'slopeTold', to: 'slopeKnown' },
] as const;

/** The content of a results file of an older version, in today's form; whatever else it is, unchanged. */
export function fromOlderResults(content: unknown): unknown {
  if (!isFields(content)) return content;
  const { findings, recommendations } = content;
  return {
    ...content,
    ...(Array.isArray(findings) ? { findings: findings.flatMap(cleanSettingsApart) } : {}),
    ...(Array.isArray(recommendations) ? { recommendations: recommendations.map(byTodaysNames) } : {}),
  };
}

/** Each clipping finding without what is not its own; the first of a tap is followed by the tap's clean settings. */
function cleanSettingsApart(finding: unknown, _: number, findings: readonly unknown[]): unknown[] {
  if (!holdsCleanSettings(finding)) return [finding];
  const own = Object.fromEntries(
    Object.entries(finding).filter(
      ([name]) => name !== 'untold' && !CLEAN_FIELDS.some((one) => one === name),
    ),
  );
  const ofTap = findings.filter(holdsCleanSettings).filter((other) => tapOf(other) === tapOf(finding));
  if (ofTap[0] !== finding) return [own];
  const { evidence, doubts } = own;
  const clean = {
    kind: 'clean-settings',
    id: `clean-settings:${tapOf(finding)}`,
    tapIds: own.tapIds,
    evidence,
    ...(doubts === undefined ? {} : { doubts }),
    settings: [...new Set(ofTap.flatMap(settingsOf))],
    ...Object.fromEntries(CLEAN_FIELDS.flatMap((name) => (name in finding ? [[name, finding[name]]] : []))),
    ...('untold' in finding ? { notKnown: finding.untold } : {}),
  };
  return [own, clean];
}

function holdsCleanSettings(finding: unknown): finding is Fields {
  return isFields(finding) && finding.kind === 'clipping' && 'highestCleanRecorded' in finding;
}

function tapOf({ tapIds }: Fields): string {
  return Array.isArray(tapIds) ? String(tapIds[0]) : '';
}

function settingsOf({ perSetting }: Fields): unknown[] {
  return Array.isArray(perSetting) ? perSetting.map((row) => (isFields(row) ? row.setting : null)) : [];
}

function byTodaysNames(recommendation: unknown): unknown {
  if (!isFields(recommendation)) return recommendation;
  const renamed = RENAMED.filter(({ kind, from }) => kind === recommendation.kind && from in recommendation);
  return renamed.reduce((item: Fields, { from, to }) => {
    const { [from]: value, ...rest } = item;
    return { ...rest, [to]: value };
  }, recommendation);
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
