import { clipLine } from './clip-line.ts';

/** What was written of clips, and how to play them. */
export function clipsLines({
  feedId,
  clips,
  restoredDb,
  peakDbFs,
}: {
  feedId: string;
  clips: readonly { place: string; setting: number; restored: boolean }[];
  restoredDb: number;
  peakDbFs: number;
}): string[] {
  return [
    `Clips of ${feedId}, as loud as one another from 300 Hz to 3 kHz:`,
    ...clips.map((clip) => `  ${clip.place}  ${clipLine(clip)}`),
    ...(restoredDb === 0 ? ['No restoration is planned for this feed, so there is no restored clip.'] : []),
    `Peaks reach ${peakDbFs} dBFS: begin with the volume down, and do not play the restored clip loud on small loudspeakers.`,
  ];
}
