// Loaded with `node --import` before a command that is measured: prints what the process used, threads and all, at its end.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

/** Linux keeps `maxRSS` over fork and exec, so that a child of a large process shows its parent's; its own status does not. */
const STATUS = '/proc/self/status';

if (isMainThread && process.env.STEPTONE_BENCH_USAGE)
  process.on('exit', () => {
    const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    const own = existsSync(STATUS) ? /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(STATUS, 'utf8')) : null;
    const usage = {
      wallSeconds: performance.now() / 1000,
      cpuSeconds: (userCPUTime + systemCPUTime) / 1e6,
      userSeconds: userCPUTime / 1e6,
      peakMegabytes: (own === null ? maxRSS : Number(own[1])) / 1024,
    };
    writeFileSync(process.env.STEPTONE_BENCH_USAGE, JSON.stringify(usage));
  });
