/** Two short tones for those who look elsewhere: rising where a take is good, falling where it has to be made again. */
export function signal(good: boolean): void {
  const context = new AudioContext();
  const notes = good ? [660, 880] : [440, 330];
  notes.forEach((hz, i) => {
    const tone = new OscillatorNode(context, { frequency: hz });
    const gain = new GainNode(context, { gain: 0.2 });
    tone.connect(gain).connect(context.destination);
    tone.start(context.currentTime + 0.25 * i);
    tone.stop(context.currentTime + 0.25 * i + 0.2);
    if (i === notes.length - 1) tone.onended = () => void context.close();
  });
}
