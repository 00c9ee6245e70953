/** Above what was answered, in a session file to begin with. */
export const ABOVE_SESSION = "# Written by steptone new; 'steptone schema session' describes every field.\n";

/** Below it: what may be added, as comments. */
export const BELOW_SESSION = `
# To add where it is known (in place of the same field above); what is noted of a tap comes back on the sheets:
# taps:
#   - { id: front-left, load: speaker, plus: { colour: white, pin: 3 }, minus: white/black,
#       connector: "grey, 16 pins", note: behind the glove box, photos: [plug.jpg] }
# calibration: { kind: tone, file: tone.wav, voltsRms: 2.1 } # a meter tone as recorded, and what the meter read
# supply: { volts: 12.6 }
# equipmentFile: equipment.yaml
`;

/** Of a tap whose name does not tell its place or side, or neither. */
export function openTapLine({
  tapId,
  open,
}: {
  tapId: string;
  open: readonly ('position' | 'side')[];
}): string {
  const example = open.map((field) => `${field}: ${{ position: 'front', side: 'left' }[field]}`).join(', ');
  return `The name ${tapId} does not tell its ${open.join(' and ')}: write { id: ${tapId}, ${example} } under taps.`;
}
