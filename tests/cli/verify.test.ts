import { createHash } from 'node:crypto';
import {
  copyFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { replanCommand } from '../../cli/replan.ts';
import { sha256 as startSha256 } from '../../cli/sha256.ts';
import { simulateCommand } from '../../cli/simulate.ts';
import { verifyCommand } from '../../cli/verify.ts';
import { textHash } from '../../src/commands/fingerprint.ts';
import { type Results, resultsSchema } from '../../src/model/results.ts';
import { resultsText } from '../../src/model/results-file.ts';
import { verificationSchema } from '../../src/model/verification.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { FULL_RANGE, pair, planInput } from '../recommend/synthetic.ts';

const PAD = { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.4, tolerancePercent: 1 } as const;
/** V = sqrt(P R) of 75 W into 4 ohm, reached with the radio's full-scale tone at setting 30. */
const FRONT_VOLTS = Math.sqrt(75 * 4);
const RADIO_VOLTS = 6.85;

let folder: string;
let plan: string;
const place = (name: string) => join(folder, name);
const quiet = () => {};

/** A flat radio, measured at settings 20 and 30, with one amplifier for the doors. */
function savedResults(): Results {
  const input = planInput({
    taps: pair('front', { band: FULL_RANGE }),
    settings: [20, 30],
    volts: { at: 30, rms: RADIO_VOLTS },
    railVoltsPeak: 12.6,
    equipment: { amplifiers: [{ feeds: ['front'], channels: 2, ratedWatts: 75 }] },
  });
  return resultsOf({ ...input, session: { ...input.session, calibration: PAD } });
}

/** Recordings of taps that give these volts at setting 30. */
async function recorded(name: string, volts: Record<string, number>, padRatio = 11): Promise<string> {
  const taps = Object.entries(volts).map(([id, voltsRms]) => ({
    id,
    side: id.endsWith('left') ? 'left' : 'right',
    position: 'front',
    volume: { atSetting: 30, voltsRms, dbPerStep: 1 },
  }));
  const scenario = {
    track: 'response only',
    settings: [20],
    recorder: { padRatio, fullScaleVoltsRms: 1.4 },
    taps,
  };
  writeFileSync(place(`${name}.json`), JSON.stringify(scenario));
  await simulateCommand({ scenarioFile: place(`${name}.json`), outFolder: place(name), force: true });
  return place(name);
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-verify-'));
  plan = place('results.json');
  writeFileSync(plan, resultsText(savedResults(), textHash(startSha256)));
  writeFileSync(place('larger.yaml'), 'amplifiers: [{ feeds: [front], channels: 2, ratedWatts: 150 }]\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('steptone verify', () => {
  it('writes the proof as data and as a page; status 4 and the knob where one side is 3 dB low.', async () => {
    const target = await recorded(
      'after',
      { 'front left': FRONT_VOLTS, 'front right': FRONT_VOLTS * 10 ** (-3 / 20) },
      60,
    );
    const { status, text } = await verifyCommand({ target, plan, force: false }, quiet);
    expect(status).toBe(4);
    // V = sqrt(75 W x 4 ohm), as the meter shows it while the tone plays.
    expect(text).toMatch(
      /front right, amplifier gain: −3\.0 dB.*turn it up by 3\.0 dB, until meter-\d+hz-0db at setting 30 reads 17\.3 V/,
    );
    expect(text).not.toMatch(/front left, /);
    const out = join(target, 'steptone-out');
    expect(readdirSync(out).sort()).toEqual(['results.json', 'verify.html', 'verify.json']);
    const kept = resultsSchema.parse(JSON.parse(readFileSync(join(out, 'results.json'), 'utf8')));
    // The simulated volts at setting 30, flat, 1 dB a step: at 20 there are 10 dB less.
    const left = kept.asLeft?.find(({ feedId, toneHz }) => feedId === 'feed-front-left' && toneHz === 100);
    expect(left?.setting).toBe(20);
    expect(Math.abs(20 * Math.log10((left?.voltsRms ?? 0) / FRONT_VOLTS) + 10)).toBeLessThan(0.02);
    expect(kept.recommendations).toEqual(JSON.parse(readFileSync(plan, 'utf8')).recommendations);
    const data = verificationSchema.parse(JSON.parse(readFileSync(join(out, 'verify.json'), 'utf8')));
    expect(data.passes).toBe(false);
    expect(data.inputs.map(({ file }) => file)).toEqual(['results.json', 'session.yaml', 'setting-20.wav']);
    const again = verifyCommand({ target, plan, force: false }, quiet);
    await expect(again).rejects.toMatchObject({ code: 'would-overwrite' });
  });

  it('refuses the recordings that the plan was made from, and one file under two names.', async () => {
    const target = place('after');
    const inputs = [
      { file: 'setting-30.wav', byteLength: 1, sha256: sha256(readFileSync(join(target, 'setting-20.wav'))) },
    ];
    writeFileSync(place('made-from.json'), resultsText({ ...savedResults(), inputs }, textHash(startSha256)));
    const own = verifyCommand({ target, plan: place('made-from.json'), force: true }, quiet);
    await expect(own).rejects.toMatchObject({ code: 'usage', parts: { where: 'setting-20.wav' } });
    await expect(own).rejects.toMatchObject({ parts: { found: expect.stringContaining('setting-30.wav') } });

    const twice = place('twice');
    cpSync(target, twice, { recursive: true });
    copyFileSync(join(twice, 'setting-20.wav'), join(twice, 'setting-24.wav'));
    rmSync(join(twice, 'session.yaml'));
    const doubled = verifyCommand(
      { target: twice, plan, settings: '20,24', channels: 'front left,front right', force: true },
      quiet,
    );
    await expect(doubled).rejects.toMatchObject({
      parts: { where: 'setting-24.wav', found: expect.stringContaining('setting-20.wav') },
    });
  });

  it('meets a feed that the plan does not have with the right word before it reads a recording, and writes nothing.', async () => {
    const target = place('after');
    const session = join(target, 'other.json');
    writeFileSync(
      session,
      JSON.stringify({
        settings: 20,
        taps: [{ id: 'a', verifies: 'feed-front-lft' }],
        recordings: ['setting-20.wav'],
      }),
    );
    const out = place('never');
    const read = vi.fn(); // told of each recording before it is read
    await expect(verifyCommand({ target: session, plan, out, force: false }, read)).rejects.toMatchObject({
      code: 'session-field',
      parts: { nextStep: expect.stringContaining('feed-front-left') },
    });
    expect(read).not.toHaveBeenCalled();
    expect(readdirSync(folder)).not.toContain('never');
  });
});

describe('steptone replan --confirm', () => {
  const replan = (take: string, out: string) =>
    replanCommand(
      {
        resultsFile: plan,
        equipmentFile: place('larger.yaml'),
        outFolder: place(out),
        confirm: join(take, 'setting-20.wav'),
        channels: 'front left',
        setting: '20',
        force: false,
      },
      quiet,
    );

  it('plans where the radio gives what it gave, and says so.', async () => {
    const take = await recorded('same', { 'front left': RADIO_VOLTS });
    const { status, text } = await replan(take, 'replanned');
    expect(status).toBeUndefined();
    expect(text).toContain('The radio is the same within 0.5 dB');
    expect(readdirSync(place('replanned')).sort()).toEqual([
      'comeback-sheet.html',
      'dial-in-sheet.html',
      'estimate-sheet.html',
      'hand-over-sheet.html',
      'order-sheet.html',
      'report.html',
      'results.json',
    ]);
  });

  it('writes nothing, status 4, where it gives 1 dB less.', async () => {
    const take = await recorded('other', { 'front left': RADIO_VOLTS * 10 ** (-1 / 20) });
    mkdirSync(place('untouched'));
    const { status, text } = await replan(take, 'untouched');
    expect(status).toBe(4);
    expect(text).toMatch(/not the same.*level -1\.0 dB/);
    expect(readdirSync(place('untouched'))).toEqual([]);
  });
});

function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
