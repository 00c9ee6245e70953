import type { Proof } from '../model/verification.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Whether the programme that the plan sends here arrives here: sides exchanged, one side missing, or nothing at all. */
export function routingProof({ planned, series }: RecordedFeed): Proof {
  const wanted = planned.feed.side;
  const { carries } = series;
  const fits = wanted === 'both' ? carries === 'left and right' : carries === wanted;
  if (fits)
    return proof({ what: 'wiring', verdict: 'pass', text: { code: 'carries what was planned', carries } });
  return proof({
    what: 'wiring',
    verdict: 'fail',
    knob: carries === 'difference' ? 'polarity' : 'wiring',
    text: { code: 'carries something else', carries, wanted },
  });
}
