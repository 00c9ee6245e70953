import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { encodeWav } from '../../../src/audio/write-wav.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { randomFactory } from '../../../src/simulate/random-factory.ts';
import { simulate } from '../../../src/simulate/simulate.ts';
import { largestChange } from '../../largest-change.ts';
import type { Answered, Asked } from './radio-worker.ts';

/** `npm run kernels:compare`: results of random radios by compiled kernels, and by plain loops alone, held against each other. */
const { values } = parseArgs({
  options: { systems: { type: 'string', default: '50' }, seed: { type: 'string', default: '1' } },
});
const [compiled, plain] = ['compiled', 'plain'].map((way) =>
  fork(join(import.meta.dirname, 'radio-worker.ts'), [way], { execArgv: ['--import', 'tsx'] }),
);
const worst = { by: 0, where: 'nothing' };
let otherwise = 0;
for (let seed = Number(values.seed); seed < Number(values.seed) + Number(values.systems); seed++) {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-kernels-'));
  try {
    const session = recorded(seed, folder);
    const one = await answerOf(compiled, { folder, session });
    const other = await answerOf(plain, { folder, session });
    if (!one.compiled || other.compiled) throw new Error('one process has to have kernels, the other none');
    const { by, where, otherwise: unlike } = largestChange(one.results, other.results);
    otherwise += unlike.length;
    if (by > worst.by) Object.assign(worst, { by, where: `radio ${seed}, ${where}` });
    process.stdout.write(
      `${seed}: ${by.toExponential(1)} at ${where}; ${one.seconds.toFixed(1)} s, plain ${other.seconds.toFixed(1)} s\n`,
    );
    for (const place of unlike) process.stdout.write(`  says something else: ${place}\n`);
  } finally {
    rmSync(folder, { recursive: true });
  }
}
compiled.disconnect();
plain.disconnect();
process.stdout.write(
  `${values.systems} radios: at most ${worst.by.toExponential(1)} (${worst.where}); ${otherwise} places say something else\n`,
);
process.exitCode = otherwise === 0 ? 0 : 1;

/** Writes the recordings; the session that describes them. */
function recorded(seed: number, folder: string): SessionInput {
  const { scenario } = randomFactory(seed, { rich: seed % 2 === 0, unusual: seed % 4 === 1 });
  const simulation = simulate(scenario);
  for (const { file, sampleRateHz, bits, channels } of simulation.recordings())
    writeFileSync(join(folder, file), encodeWav({ sampleRateHz, channels, bitDepth: bits }));
  return simulation.session;
}

async function answerOf(worker: typeof compiled, asked: Asked): Promise<Answered> {
  worker.send(asked);
  const [answer] = await once(worker, 'message');
  return answer as Answered;
}
