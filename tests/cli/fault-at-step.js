// Loaded before a command: at the step of writing that STEPTONE_FAULT_STEP counts, the process is killed or the disk is full.
// STEPTONE_FAULT is SIGKILL or an error's name; with 'count' the number of steps is written to STEPTONE_FAULT_COUNT, and with
// 'dead' nothing is written from that step on: what is found on the disk is what a killed process leaves.
// STEPTONE_NO_LINKS: links are refused, as FAT does.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const { STEPTONE_FAULT: fault, STEPTONE_FAULT_COUNT: countFile } = process.env;
const writeNow = fs.writeFileSync;
let at = Number(process.env.STEPTONE_FAULT_STEP);
let step = 0;
/** Counts anew, for those who try one step after the other in one process. */
globalThis.failAtStep = (next) => {
  at = next;
  step = 0;
};

const isWriting = (name, args) => name !== 'openSync' || /[wax]/.test(String(args[1]));

for (const name of [
  'mkdirSync',
  'openSync',
  'writeFileSync',
  'writeSync',
  'fsyncSync',
  'linkSync',
  'symlinkSync',
  'copyFileSync',
  'renameSync',
  'unlinkSync',
  'rmSync',
  'rmdirSync',
]) {
  const real = fs[name];
  fs[name] = (...args) => {
    if (process.env.STEPTONE_NO_LINKS && /^(sym)?linkSync$/.test(name))
      throw Object.assign(new Error('EPERM: links are not known here'), { code: 'EPERM' });
    if (!isWriting(name, args)) return real(...args);
    step++;
    if (fault === 'dead' && step > at) throw new Error(`dead since step ${at}`);
    if (step === at) {
      // Half of a file's bytes, or of a folder's files, before it ends.
      if (name === 'writeSync') real(args[0], args[1].subarray(0, args[1].length >> 1));
      if (fault === 'SIGKILL') process.kill(process.pid, 'SIGKILL');
      if (fault === 'dead') throw new Error(`dead since step ${at}`);
      if (name !== 'rmSync' && name !== 'unlinkSync' && name !== 'rmdirSync')
        throw Object.assign(new Error(`${fault}: at step ${step}`), { code: fault });
    }
    return real(...args);
  };
}
syncBuiltinESMExports();
if (fault === 'count') process.on('exit', () => writeNow(countFile, String(step)));
