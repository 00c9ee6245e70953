import { describe, expect, it } from 'vitest';
import { gainsCommand } from '../../../cli/gains.ts';
import { meterGains } from '../../../src/recommend/chain/meter-gains.ts';

const full = (toneHz: number, voltsRms: number, driveDbFs = 0) => ({ toneHz, voltsRms, driveDbFs });
const wanted = {
  readings: [full(55, 8 * 10 ** (-8 / 20)), full(997, 8)],
  quietReadings: [full(55, 2), full(997, 2)],
  lineVolts: 4,
  watts: 500,
  ohms: 4,
  gainOverlapDb: 5,
  speakerWatts: null,
  sensitivityRangeVolts: null,
  mostRestorationDb: 12,
  inputLimitVolts: null,
};

// 8 dB lost at 8.0 V, 4 V at the line, 500 W into 4 ohm (44.72 V = sqrt(P R)), 5 dB of overlap: arithmetic.
describe('gains from meter readings', () => {
  it('give the same answer as the plan from recordings', () => {
    const gains = meterGains(wanted);
    expect(gains.converterGainDb).toBeCloseTo(-6.0206, 3);
    expect(gains.sensitivityVolts).toBeCloseTo(2.2494, 3);
    const [bass] = gains.tones;
    expect(bass.restoredDb).toBeCloseTo(8, 9);
    const minus5 = bass.readings.find(({ driveDbFs }) => driveDbFs === -5)!;
    expect(minus5.speakerVoltsOn).toBeCloseTo(44.72, 2);
    expect(minus5.speakerVoltsOff).toBeCloseTo(17.8, 2);
    expect(minus5.overLimit).toBe(false);
    expect(bass.readings[0].overLimit).toBe(true);
    expect(gains.setBy).toEqual({ toneHz: 55, driveDbFs: -5 });
  });

  // 100 W into 4 ohm from 2 V is 20 dB (closed form).
  it('need 20 dB of amplifier gain for 100 W into 4 ohm from 2 V', () => {
    const gains = meterGains({ ...wanted, quietReadings: [], lineVolts: 2, watts: 100, gainOverlapDb: 0 });
    expect(20 * Math.log10(gains.fullOutputVolts / gains.sensitivityVolts)).toBeCloseTo(20, 4);
  });

  it('of a line output a twentieth as strong need 26 dB more from the converter, and nothing else', () => {
    const weak = (readings: typeof wanted.readings) =>
      readings.map((one) => ({ ...one, voltsRms: one.voltsRms / 20 }));
    const [strong, faint] = [
      meterGains(wanted),
      meterGains({
        ...wanted,
        readings: weak(wanted.readings),
        quietReadings: weak(wanted.quietReadings),
      }),
    ];
    expect(faint.converterGainDb - strong.converterGainDb).toBeCloseTo(20 * Math.log10(20), 9);
    expect(faint.sensitivityVolts).toBeCloseTo(strong.sensitivityVolts, 9);
    expect(() => meterGains({ ...wanted, readings: [full(997, 0)] })).toThrow();
    expect(() => meterGains({ ...wanted, readings: [full(0, 8)] })).toThrow();
  });

  it('are set by the loudest tone, and by the lowest that a meter reads', () => {
    const gains = meterGains({ ...wanted, quietReadings: [] });
    // 8 dB less at 55 Hz and nothing put back: 1 kHz fills the line.
    expect(gains).toMatchObject({ worstHz: 997, worstTapVolts: 8, setBy: { toneHz: 55 } });
    expect(gains.converterGainDb).toBeCloseTo(-6.0206, 3);
    expect(gains.tones.map(({ toneHz, lostDb }) => [toneHz, lostDb])).toEqual([
      [55, 0],
      [997, 0],
    ]);
    const highOnly = meterGains({ ...wanted, readings: [full(6007, 3), full(997, 8)], quietReadings: [] });
    expect(highOnly.setBy.toneHz).toBe(997);
    // A converter of 5 dB puts 5 of the 8 dB back: the bass stays 3 dB below.
    const short = meterGains({ ...wanted, mostRestorationDb: 5 });
    expect(short).toMatchObject({ worstHz: 997, worstTapVolts: 8 });
    expect(short.tones[0]).toMatchObject({ lostDb: expect.closeTo(8, 9), restoredDb: 5 });
    expect(short.tones[0].readings[0].lineVoltsOn).toBeCloseTo(4 * 10 ** (-3 / 20), 9);
  });

  it('do not depend on the drive at which a tone was read', () => {
    const lower = {
      ...wanted,
      readings: wanted.readings.map(({ toneHz, voltsRms }) => full(toneHz, voltsRms * 10 ** (-10 / 20), -10)),
    };
    expect(meterGains(lower).converterGainDb).toBeCloseTo(meterGains(wanted).converterGainDb, 9);
  });

  // 25 W into 4 ohm is 10 V; 60 W is 15.49 V, and with the gain fully down at 4 V the line is 4 x 10 / 15.49 = 2.58 V.
  it('stop at what the speaker stands, and turn the line down where the amplifier’s gain ends', () => {
    const doors = meterGains({
      ...wanted,
      quietReadings: [],
      watts: 60,
      gainOverlapDb: 0,
      speakerWatts: 25,
      sensitivityRangeVolts: [0.2, 4],
    });
    expect(doors.fullOutputVolts).toBeCloseTo(10, 9);
    const loudest = Math.max(...doors.tones.map(({ readings }) => readings[0].lineVoltsOff));
    expect(loudest).toBeCloseTo(2.582, 3);
  });

  it('never lower a voltage when a gain goes up', () => {
    const quiet = meterGains(wanted);
    const more = meterGains({ ...wanted, gainOverlapDb: 10 });
    quiet.tones.forEach(({ readings }, tone) => {
      readings.forEach(({ speakerVoltsOn }, i) => {
        expect(more.tones[tone].readings[i].speakerVoltsOn).toBeGreaterThan(speakerVoltsOn);
      });
    });
  });

  it('put a pad where an input would be overdriven', () => {
    expect(meterGains({ ...wanted, inputLimitVolts: 5 }).pad!.outputVoltsRms).toBeLessThanOrEqual(5);
    expect(meterGains({ ...wanted, inputLimitVolts: 10 }).pad).toBeNull();
  });
});

describe('the gains command', () => {
  it('reads tones, volts and drives from its options', async () => {
    const { data, text } = await gainsCommand({
      readings: '55=3.1848, 997=4.4987@-5',
      low: '55=2,997=2',
      watts: '500',
      overlap: '5',
    });
    expect(data).toMatchObject({ converterGainDb: expect.closeTo(-6.02, 2) });
    expect(text).toContain('44.7');
    expect(text).toContain('set by this');
  });

  it.each([
    { readings: '', watts: '500' },
    { readings: '55:3', watts: '500' },
    { readings: '55=-3', watts: '500' },
    { readings: '55=3', watts: 'many' },
    { readings: '55=3', watts: '0' },
    { readings: '55=3', watts: '500', overlap: '20' },
  ])('says what is wrong with %j', async (given) => {
    await expect(gainsCommand(given)).rejects.toMatchObject({ code: 'usage' });
  });
});
