import type { Finding } from '../../model/finding.ts';
import { type MeasuredOrReason, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';

/** The findings with every volts figure replaced by the question that has to be answered first; the rail's own stays. */
export function withholdVolts(findings: readonly Finding[], question: Reason): Finding[] {
  const withheld: MeasuredOrReason = notMeasurable(
    typeof question === 'string' ? `volts are withheld: ${question}` : question,
  );
  return findings.map((finding): Finding => {
    switch (finding.kind) {
      case 'bass-limiter':
        return {
          ...finding,
          perSetting: finding.perSetting.map((row) => ({ ...row, levelVoltsRms: withheld })),
        };
      case 'volume-law':
        return { ...finding, levels: finding.levels.map((row) => ({ ...row, voltsRms: withheld })) };
      case 'clipping':
        return { ...finding, perSetting: finding.perSetting.map((row) => ({ ...row, voltsRms: withheld })) };
      case 'noise':
        return {
          ...finding,
          perSetting: finding.perSetting.map((row) => ({ ...row, underQuietToneVolts: withheld })),
          ...(finding.takes === undefined
            ? {}
            : { takes: finding.takes.map((take) => ({ ...take, levelVolts: withheld })) }),
        };
      default:
        return finding;
    }
  });
}
