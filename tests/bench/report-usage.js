// Loaded with `node --import` before a command that is measured: prints what the process used, threads and all, at its end.
import { writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

if (isMainThread && process.env.STEPTONE_BENCH_USAGE)
  process.on('exit', () => {
    const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    const usage = {
      wallSeconds: performance.now() / 1000,
      cpuSeconds: (userCPUTime + systemCPUTime) / 1e6,
      userSeconds: userCPUTime / 1e6,
      peakMegabytes: maxRSS / 1024,
    };
    writeFileSync(process.env.STEPTONE_BENCH_USAGE, JSON.stringify(usage));
  });
