export { readReportAssets as reportAssets } from '../../cli/report-assets.ts';
