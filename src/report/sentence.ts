import type { Measured } from '../model/measured.ts';
import { formatDbu, formatVolts, significant } from './format.ts';
import { type Html, html } from './html.ts';

/** A voltage inside a sentence: shown in volts or in dBu, as the reader chooses. */
interface Volts {
  readonly voltsRms: Measured;
}

/** A wire inside a sentence: shown by its area or by its gauge number. */
interface Wire {
  readonly mm2: number;
  readonly awg: number;
}

/** Words with quantities among them, before it is known whether a page or a terminal shows them. */
export type Sentence = readonly (string | Volts | Wire)[];

type Part = string | number | Volts | Wire | Sentence;

/** Template tag for sentences: `say\`clips at ${volts(8.6)}\``. */
export function say(literals: TemplateStringsArray, ...parts: readonly Part[]): Sentence {
  const pieces = parts.flatMap((part, i) => [...asSentence(part), literals[i + 1]]);
  return [literals[0], ...pieces].filter((piece) => piece !== '');
}

export function volts(value: number, plusMinus = 0): Volts {
  return { voltsRms: { value, plusMinus } };
}

/** Sentences one after another. */
export function joined(sentences: readonly Sentence[], between = ' '): Sentence {
  return sentences.flatMap((sentence, i) => (i === 0 ? sentence : [between, ...sentence]));
}

export function plainText(sentence: Sentence): string {
  return sentence.map(plainPiece).join('');
}

/** Both units are in the page; the style shows the chosen one, so that the switch works without redrawing words. */
export function sentenceHtml(sentence: Sentence): Html {
  return html`${sentence.map(pieceHtml)}`;
}

function plainPiece(piece: Sentence[number]): string {
  if (typeof piece === 'string') return piece;
  if ('voltsRms' in piece) return formatVolts(piece.voltsRms);
  return `${areaText(piece)} (${gaugeText(piece)})`;
}

function pieceHtml(piece: Sentence[number]): Html {
  if (typeof piece === 'string') return html`${piece}`;
  if ('voltsRms' in piece) {
    const { voltsRms } = piece;
    return html`<span class="in-volts">${formatVolts(voltsRms)}</span><span class="in-dbu">${formatDbu(voltsRms)}</span>`;
  }
  return html`<span class="in-mm2">${areaText(piece)}</span><span class="in-awg">${gaugeText(piece)}</span>`;
}

function areaText({ mm2 }: Wire): string {
  return `${significant(mm2, 2)} mm²`;
}

/** Gauges above 1 are written 1/0, 2/0, 3/0 and counted 0, -1, -2 (ASTM B258, from memory). */
function gaugeText({ awg }: Wire): string {
  return awg > 0 ? `AWG ${awg}` : `AWG ${1 - awg}/0`;
}

function asSentence(part: Part): Sentence {
  if (typeof part === 'string') return [part];
  if (typeof part === 'number') return [String(part)];
  return 'voltsRms' in part || 'mm2' in part ? [part] : part;
}
