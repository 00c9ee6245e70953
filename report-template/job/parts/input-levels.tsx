import { levelWords } from '../sound/levels.ts';
import type { Input } from '../sound/use-input.ts';
import { useEvery } from './use-every.ts';

/** Quick enough to turn a pad by, slow enough to read. */
const WRITTEN_EVERY_MS = 200;

/** Level and headroom of each channel in figures and words. */
export function InputLevels({
  input,
  names,
}: {
  readonly input: Input;
  readonly names: readonly (string | null)[];
}) {
  const levels = useEvery(WRITTEN_EVERY_MS, input.levels);
  const shown = names.length === 0 ? levels : levels.slice(0, names.length);
  return (
    <>
      <div class="scroll">
        <table class="levels">
          <caption>Levels, dBFS</caption>
          <thead>
            <tr>
              <th scope="col">Channel</th>
              <th scope="col">Now</th>
              <th scope="col">Highest</th>
              <th scope="col">Headroom</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((level, channel) => (
              <tr key={channel}>
                <th scope="row">
                  {channel + 1} {names[channel] ?? ''}
                  <span class="state">{levelWords(level)}</span>
                </th>
                <td>{figure(level.nowDbFs)}</td>
                <td>{figure(level.heldPeakDbFs)}</td>
                <td>{Math.max(0, -level.heldPeakDbFs).toFixed(1)} dB</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <button type="button" onClick={input.resetLevels}>
        Clear the peaks
      </button>
    </>
  );
}

function figure(dbFs: number): string {
  return dbFs < -140 ? 'nothing' : dbFs.toFixed(1).replace('-', '−');
}
