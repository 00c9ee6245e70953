import { levelWords } from '../sound/levels.ts';
import type { Input } from '../sound/use-input.ts';

/** Level and headroom of each channel in figures and words. */
export function InputLevels({
  input,
  names,
}: {
  readonly input: Input;
  readonly names: readonly (string | null)[];
}) {
  const shown = names.length === 0 ? input.levels : input.levels.slice(0, names.length);
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
