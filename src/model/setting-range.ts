import { SteptoneError } from './errors.ts';
import { described } from './field-fault.ts';

/** No radio has more steps; a range that makes more is a slip of the pen. */
export const MOST_SETTINGS = 250;
const NUMBER = String.raw`-?\d+(?:\.\d+)?`;
const RANGE = new RegExp(`^(${NUMBER})\\s*[-–]\\s*(${NUMBER})(?:\\s*/\\s*(${NUMBER}))?$`);
const SINGLE = new RegExp(`^${NUMBER}$`);

/**
 * Volume settings as people write them: `10-38/4` (10, 14, ... 38), `10-38` (every step), `10,14,18`, or a mixture.
 * Order and repeats are kept, because they are the order of the takes; a range may fall (`38-10/4`).
 *
 * @throws SteptoneError `settings` where a part is no number or range, or where the steps miss the range's end.
 */
export function parseSettings({ text, where }: { text: string; where: string }): number[] {
  const parts = text
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '');
  if (parts.length === 0) throw settingsError({ found: 'nothing', where });
  if (parts.length > MOST_SETTINGS) throw tooMany({ found: `${parts.length} of them`, where });
  return notTooMany(
    parts.flatMap((part) => parsePart({ part, where })),
    where,
  );
}

/** Settings from a session's field, where they may be a number, a text or a list of both. */
export function settingsInOrder({
  given,
  where,
}: {
  given: number | string | readonly (number | string)[];
  where: string;
}): number[] {
  return notTooMany(
    [given]
      .flat()
      .flatMap((entry) => (typeof entry === 'number' ? [entry] : parseSettings({ text: entry, where }))),
    where,
  );
}

function notTooMany(settings: number[], where: string): number[] {
  if (settings.length > MOST_SETTINGS) throw tooMany({ found: `${settings.length} of them`, where });
  return settings;
}

function parsePart({ part, where }: { part: string; where: string }): number[] {
  if (SINGLE.test(part)) return [Number(part)];
  const match = RANGE.exec(part);
  if (match === null) throw settingsError({ found: described(part), where });
  const [first, last] = [Number(match[1]), Number(match[2])];
  const step = match[3] === undefined ? 1 : Number(match[3]);
  if (step <= 0)
    throw settingsError({ found: `a step of ${step} in '${part}'`, where, expected: 'a step above 0' });
  const steps = Math.abs(last - first) / step;
  const whole = Math.floor(steps + 1e-9);
  const direction = last < first ? -step : step;
  if (steps - whole > 1e-6) {
    const reached = tidy(first + whole * direction);
    throw settingsError({
      found: `'${part}', whose steps reach ${reached} and then ${tidy(reached + direction)}`,
      where,
      expected: 'a range whose steps meet its end',
      nextStep: `write ${first}-${reached}/${step}, or ${first}-${reached}/${step},${last} if ${last} was recorded too`,
    });
  }
  if (whole >= MOST_SETTINGS) {
    throw tooMany({ found: `${whole + 1} settings in '${part}'`, where });
  }
  return Array.from({ length: whole + 1 }, (_, i) => tidy(first + i * direction));
}

/** Half steps stay 0.5 and do not become 0.49999. */
function tidy(setting: number): number {
  return Number(setting.toFixed(6));
}

function tooMany(of: { found: string; where: string }): SteptoneError {
  return settingsError({ ...of, expected: `at most ${MOST_SETTINGS} settings` });
}

function settingsError({
  found,
  where,
  expected = 'volume settings such as 10-38/4 or 10,14,18',
  nextStep = 'give the settings in the order in which they were recorded',
}: {
  found: string;
  where: string;
  expected?: string;
  nextStep?: string;
}): SteptoneError {
  return new SteptoneError({ code: 'settings', expected, found, where, nextStep });
}
