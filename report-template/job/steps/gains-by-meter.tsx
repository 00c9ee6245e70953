import { type GainsFigures, USUAL_GAINS_FIGURES } from '../../../src/commands/gains-by-meter.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import type { MeterReading } from '../../../src/recommend/chain/meter-gains.ts';
import { METER_DRIVES_DB_FS, METER_TONES_HZ } from '../../../src/tones/meter-tone.ts';
import { TextField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask } from '../work/ask.ts';

/** What a meter read while one tone played, as it was typed. */
interface Row {
  readonly driveDbFs: number;
  /** Volts at the highest clean setting, and at a low one. */
  readonly clean: string;
  readonly low: string;
}

/** Everything typed here, and what came of it. */
interface Noted {
  readonly rows: Readonly<Record<number, Row>>;
  readonly figures: Readonly<Record<string, string>>;
  readonly text: string | null;
}

const NOTE = 'gains-by-meter';
const NOTHING: Noted = { rows: {}, figures: {}, text: null };
const NO_ROW: Row = { driveDbFs: 0, clean: '', low: '' };

const FIGURES: readonly (readonly [
  name: Exclude<keyof GainsFigures, 'sensitivity'>,
  label: string,
  unit: string,
])[] = [
  ['watts', 'Rated power of the amplifier channel', 'W'],
  ['ohms', 'Load for that rating', 'Ω'],
  ['line', 'Most the converter puts out', 'V RMS'],
  ['inputLimit', 'Most an input of the converter stands', 'V RMS'],
  ['restore', 'Most bass restoration', 'dB'],
  ['overlap', 'Gain overlap, 0 to 10', 'dB'],
  ['speakerWatts', 'Power rating of the speaker', 'W'],
];
/** For rated power, with the knob fully up and fully down. */
const SENSITIVITY = [
  ['knobUp', 'Input sensitivity, knob up'],
  ['knobDown', 'Input sensitivity, knob down'],
] as const;
const NAMES = {
  ...Object.fromEntries(FIGURES.map(([name, label]) => [name, label])),
  sensitivity: 'Input sensitivity',
} as Record<keyof GainsFigures, string>;

/** The gains of one output from a few readings of a meter, where nothing was recorded. */
export function GainsByMeter() {
  const job = useJob();
  const running = useRunning();
  const noted = job.noted<Noted>(NOTE) ?? NOTHING;
  /** What was worked out before is out of date once something else is typed. */
  const note = (change: Partial<Noted>) => job.note(NOTE, { ...noted, text: null, ...change });
  return (
    <details open={noted !== NOTHING}>
      <summary>Gains from a few meter readings, without recordings</summary>
      <p>
        Play a meter tone from the stick, and read the volts across one output of the radio: at the highest
        clean setting, and at a low one where the radio leaves the bass alone. One tone will do; 997 Hz beside
        it shows how much bass is missing.
      </p>
      <p class="caution">Unplug the speakers or put a load on: full-scale tones harm tweeters and ears.</p>
      <Readings rows={noted.rows} onChange={(rows) => note({ rows })} />
      <Figures figures={noted.figures} onChange={(figures) => note({ figures })} />
      <RunButton
        running={running}
        work={async () => note({ text: await ask('gains', { ...askedOf(noted), names: NAMES }) })}
      >
        Work out the gains
      </RunButton>
      {noted.text !== null && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls sideways on a phone, also by keyboard
        <section class="scroll" aria-label="Gains" tabIndex={0}>
          <pre class="sheet">{noted.text}</pre>
        </section>
      )}
    </details>
  );
}

/** A row a tone: its level, and the volts that were read. */
function Readings({
  rows,
  onChange,
}: {
  readonly rows: Noted['rows'];
  readonly onChange: (rows: Noted['rows']) => void;
}) {
  return (
    <table>
      <thead>
        <tr>
          <th>Tone</th>
          <th>Its level</th>
          <th>V RMS, highest clean setting</th>
          <th>V RMS, low setting</th>
        </tr>
      </thead>
      <tbody>
        {METER_TONES_HZ.map((toneHz) => {
          const row = rows[toneHz] ?? NO_ROW;
          const change = (of: Partial<Row>) => onChange({ ...rows, [toneHz]: { ...row, ...of } });
          return <Reading key={toneHz} toneHz={toneHz} row={row} onChange={change} />;
        })}
      </tbody>
    </table>
  );
}

function Reading({
  toneHz,
  row,
  onChange,
}: {
  readonly toneHz: number;
  readonly row: Row;
  readonly onChange: (change: Partial<Row>) => void;
}) {
  return (
    <tr>
      <th scope="row">{`${toneHz}\u00a0Hz`}</th>
      <td>
        <select
          aria-label={`${toneHz} Hz, its level`}
          onChange={({ currentTarget }) => onChange({ driveDbFs: Number(currentTarget.value) })}
        >
          {METER_DRIVES_DB_FS.map((drive) => (
            <option key={drive} value={drive} selected={drive === row.driveDbFs}>
              {String(drive).replace('-', '−')} dBFS
            </option>
          ))}
        </select>
      </td>
      {(['clean', 'low'] as const).map((which) => (
        <td key={which}>
          <input
            type="text"
            inputMode="decimal"
            class="volts"
            autocomplete="off"
            aria-label={placeOf(toneHz, which)}
            value={row[which]}
            onInput={({ currentTarget }) => onChange({ [which]: currentTarget.value })}
          />
        </td>
      ))}
    </tr>
  );
}

/** What is known of converter, amplifier and speaker; the usual figures stand in for what is left empty. */
function Figures({
  figures,
  onChange,
}: {
  readonly figures: Noted['figures'];
  readonly onChange: (figures: Noted['figures']) => void;
}) {
  const fields = [...FIGURES, ...SENSITIVITY.map(([name, label]) => [name, label, 'V RMS'] as const)];
  return (
    <div class="fields">
      {fields.map(([name, label, unit]) => (
        <TextField
          key={name}
          label={label}
          unit={unit}
          numeric
          placeholder={
            name in USUAL_GAINS_FIGURES
              ? USUAL_GAINS_FIGURES[name as keyof typeof USUAL_GAINS_FIGURES]
              : undefined
          }
          value={figures[name] ?? ''}
          onInput={(typed) => onChange({ ...figures, [name]: typed })}
        />
      ))}
    </div>
  );
}

/** What was typed, as the command takes it. @throws SteptoneError 'usage' where volts are no number */
function askedOf({ rows, figures }: Noted) {
  const readings = (which: 'clean' | 'low'): MeterReading[] =>
    METER_TONES_HZ.flatMap((toneHz) => {
      const { driveDbFs, [which]: text } = rows[toneHz] ?? NO_ROW;
      return text.trim() === ''
        ? []
        : [{ toneHz, driveDbFs, voltsRms: voltsIn(text, placeOf(toneHz, which)) }];
    });
  const figure = (name: string) => {
    const text = pointed(figures[name] ?? '');
    return text === '' ? undefined : text;
  };
  const ends = SENSITIVITY.map(([name]) => figure(name) ?? '');
  return {
    readings: readings('clean'),
    quietReadings: readings('low'),
    figures: {
      ...(Object.fromEntries(FIGURES.map(([name]) => [name, figure(name)])) as Omit<GainsFigures, 'watts'>),
      watts: figure('watts') ?? '',
      sensitivity: ends.every((end) => end === '') ? undefined : ends.join(','),
    },
  };
}

function voltsIn(text: string, where: string): number {
  const volts = Number(pointed(text));
  if (Number.isFinite(volts)) return volts;
  throw new SteptoneError({
    code: 'usage',
    expected: 'volts as a number',
    found: `'${text}'`,
    where,
    nextStep: 'write it with a point: 2.5',
  });
}

function placeOf(toneHz: number, which: 'clean' | 'low'): string {
  return `${toneHz} Hz, volts at ${which === 'clean' ? 'the highest clean' : 'a low'} setting`;
}

/** A comma is a point on many keyboards. */
function pointed(text: string): string {
  return text.trim().replace(',', '.');
}
