/** Above what was answered, in a session file to begin with. */
export const ABOVE_SESSION =
  "# steptone new wrote this file; 'steptone schema session' explains every field.\n";

/** Below it: what may be added, as comments. */
export const BELOW_SESSION = `
# Add what you know, in place of the same field above. The sheets repeat what you note of an output:
# taps:
#   - { id: front-left, load: speaker, plus: { colour: white, pin: 3 }, minus: white/black,
#       connector: "grey, 16 pins", note: behind the glove box, photos: [plug.jpg] }
# calibration: { kind: tone, file: tone.wav, voltsRms: 2.1 } # a recorded meter tone, and what the meter read
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
  return `The name ${tapId} does not say its ${open.join(' and ')}: write { id: ${tapId}, ${example} } under taps.`;
}
