import { describe, expect, test } from 'vitest';
import { assignSettings, type KnownLevel } from '../../src/takes/assign-settings.ts';

const PLANNED = [12, 16, 20, 26, 32];
/** One decibel a step, as levels at the recorder. */
const level = (setting: number) => setting - 50;

function assigned(levels: readonly (number | null)[], known: readonly KnownLevel[] = []) {
  const takes = levels.map((levelDb, i) => ({ startSeconds: 60 * i, levelDb, unsteady: false }));
  return assignSettings({ takes, planned: PLANNED, known });
}
const settingsOf = (answer: ReturnType<typeof assigned>) =>
  'settings' in answer ? answer.settings : answer.unclear;

describe('settings of the takes in one long file', () => {
  test('follow the order written where the count fits and the levels rise with it', () => {
    expect(assigned(PLANNED.map(level))).toEqual({ settings: PLANNED, doubt: null });
  });

  test('go by level where a take was repeated, and the doubt is stated', () => {
    const answer = assigned([12, 16, 16, 20, 26, 32].map(level));
    expect(settingsOf(answer)).toEqual([12, 16, 16, 20, 26, 32]);
    expect(answer).toMatchObject({ doubt: { code: 'matched by level', countFits: false, planned: PLANNED } });
  });

  test('go by level where the order was another than the one written', () => {
    const answer = assigned([32, 12, 26, 16, 20].map(level));
    expect(settingsOf(answer)).toEqual([32, 12, 26, 16, 20]);
    expect(answer).toMatchObject({ doubt: { code: 'matched by level', countFits: true } });
  });

  test('are found with one missing, where the uneven steps say which', () => {
    for (const missing of PLANNED) {
      const recorded = PLANNED.filter((setting) => setting !== missing);
      expect(settingsOf(assigned(recorded.map(level))), `without ${missing}`).toEqual(recorded);
    }
  });

  test('with even steps and one missing at an end nothing is claimed, and both readings are named', () => {
    const takes = [0, 4, 8, 12].map((levelDb, i) => ({ startSeconds: 60 * i, levelDb, unsteady: false }));
    const answer = assignSettings({ takes, planned: [10, 14, 18, 22, 26] });
    expect(answer).toMatchObject({
      unclear: { code: 'levels fit two readings', one: [10, 14, 18, 22], other: [14, 18, 22, 26] },
    });
  });

  test('levels known from another file decide what the steps alone leave open', () => {
    const takes = [14, 18, 22, 26].map((setting, i) => ({
      startSeconds: 60 * i,
      levelDb: level(setting) + 0.05,
      unsteady: false,
    }));
    const known = [10, 18, 26].map((setting) => ({ setting, levelDb: level(setting) }));
    const answer = assignSettings({ takes, planned: [10, 14, 18, 22, 26], known });
    expect(settingsOf(answer)).toEqual([14, 18, 22, 26]);
  });

  test('a take in which nothing is heard is left without one, unless it stands where the lowest setting does', () => {
    expect(settingsOf(assigned([12, 16, 20, null, 26, 32].map((one) => one && level(one))))).toEqual([
      ...[12, 16, 20, null, 26, 32],
    ]);
    expect(assigned([null, ...PLANNED.slice(1).map(level)])).toEqual({ settings: PLANNED, doubt: null });
  });

  test('a take at a setting that is not on the list is left without one', () => {
    expect(settingsOf(assigned([12, 16, 20, 23, 26, 32].map(level)))).toEqual([12, 16, 20, null, 26, 32]);
  });

  test('a gain that changed by itself says nothing about settings', () => {
    const takes = [0, 4, 8].map((levelDb, i) => ({ startSeconds: 60 * i, levelDb, unsteady: i === 1 }));
    expect(assignSettings({ takes, planned: PLANNED })).toMatchObject({
      unclear: { code: 'level not steady within a take' },
    });
  });

  test('two takes alike at different settings are used in order, with the doubt stated', () => {
    expect(assigned([12, 16, 16, 26, 32].map(level))).toMatchObject({
      settings: PLANNED,
      doubt: { code: 'two settings of one level', settings: [16, 20] },
    });
  });

  test('a tap whose level stays the same everywhere is no contradiction', () => {
    expect(assigned([0, 0, 0, 0, 0])).toEqual({ settings: PLANNED, doubt: null });
  });
});
