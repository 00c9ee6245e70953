import type { MeterGains } from '../../recommend/chain/meter-gains.ts';

/** What the gains of meter readings are, as lines: level, amplifier, pad, and the volts to read at each tone. */
export function gainsLines({
  worstTapVolts,
  worstHz,
  converterGainDb,
  fullOutputVolts,
  sensitivityVolts,
  tones,
  setBy,
  pad,
}: MeterGains): string[] {
  const restores = tones.some(({ restoredDb }) => restoredDb > 0.05);
  const rows = tones.flatMap(({ toneHz, readings }) =>
    readings.map(({ driveDbFs, lineVoltsOff, lineVoltsOn, speakerVoltsOff, speakerVoltsOn, overLimit }) =>
      [
        `${toneHz} Hz`.padStart(8),
        `${driveDbFs}`.padStart(6),
        volts(lineVoltsOff),
        ...(restores ? [volts(lineVoltsOn)] : []),
        volts(speakerVoltsOff),
        ...(restores ? [volts(speakerVoltsOn)] : []),
        overLimit
          ? '  do not play: over the limit'
          : toneHz === setBy.toneHz && driveDbFs === setBy.driveDbFs
            ? '  set by this'
            : '',
      ].join(''),
    ),
  );
  const heads = restores ? ['line off', 'line on', 'speaker off', 'speaker on'] : ['line', 'speaker'];
  return [
    `The radio gives up to ${worstTapVolts.toFixed(2)} V; the line is full at ${worstHz} Hz.`,
    `Converter: ${converterGainDb.toFixed(1)} dB. Amplifier: full output ${fullOutputVolts.toFixed(1)} V, input sensitivity ${sensitivityVolts.toFixed(2)} V.`,
    ...tones
      .filter(({ lostDb }) => lostDb > 0.05)
      .map(
        ({ toneHz, lostDb, restoredDb }) =>
          `At ${toneHz} Hz ${lostDb.toFixed(1)} dB are missing, ${restoredDb.toFixed(1)} dB are put back.`,
      ),
    ...(pad === null
      ? []
      : [
          `Pad for each input: ${pad.seriesOhms} ohm (${pad.seriesRatingWatts} W) in series, ${pad.shuntOhms} ohm (${pad.shuntRatingWatts} W) across.`,
        ]),
    '',
    `${'tone'.padStart(8)}${'dBFS'.padStart(6)}${heads.map((head) => head.padStart(13)).join('')}  volts RMS, ${restores ? 'restoration off and on' : 'no restoration'}`,
    ...rows,
    '',
    'Set with restoration, filters and bass controls off, speakers unplugged or a load on. Full-scale tones harm tweeters and ears.',
  ];
}

function volts(value: number): string {
  return value.toFixed(value < 10 ? 2 : 1).padStart(13);
}
