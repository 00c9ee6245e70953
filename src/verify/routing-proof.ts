import type { Proof } from '../model/verification.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Whether the programme that the plan sends here arrives here: sides exchanged, one side missing, or nothing at all. */
export function routingProof({ planned, series }: RecordedFeed): Proof {
  const wanted = planned.feed.side;
  const { carries } = series;
  const fits = wanted === 'both' ? carries === 'left and right' : carries === wanted;
  if (fits) return proof({ what: 'wiring', verdict: 'pass', text: `carries ${said(carries)}, as planned` });
  return proof({
    what: 'wiring',
    verdict: 'fail',
    knob: carries === 'difference' ? 'polarity' : 'wiring',
    text: `carries ${said(carries)} and should carry ${wanted === 'both' ? 'left and right' : wanted}: ${adviceFor(carries, wanted)}`,
  });
}

function said(carries: RecordedFeed['series']['carries']): string {
  return carries === 'difference' ? 'left minus right' : carries;
}

function adviceFor(carries: RecordedFeed['series']['carries'], wanted: 'left' | 'right' | 'both'): string {
  switch (carries) {
    case 'nothing':
      return 'look for a loose plug, a fuse, the turn-on wire';
    case 'difference':
      return 'one of the two sides is inverted on its way: exchange its two wires at the converter';
    case 'left and right':
      return 'two channels are joined: look for a mono switch or a bridge at converter and amplifier';
    default:
      return wanted === 'both'
        ? `the ${carries === 'left' ? 'right' : 'left'} side is missing: look for its wires and its plug`
        : 'left and right are exchanged: swap the plugs at converter or amplifier';
  }
}
