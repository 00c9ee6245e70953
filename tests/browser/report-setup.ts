import { reportAssets } from '../report/report-assets.ts';

export const WIDE = { width: 1280, height: 900 };

export const assets = reportAssets();
