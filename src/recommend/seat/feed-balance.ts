import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Feed } from '../feeds/feed.ts';
import { idsOf, type PlanContext } from '../plan-context.ts';

type Balance = AdviceOf<'balance'>;

/** Rears that only fill in (common practice): lower, band-limited and late, so that the sound stays in front. */
export const FILL = { levelDb: -6, bandHz: [250, 4000], delaySeconds: [0.01, 0.02] } as const;

/** Where the levels of the feeds start, and what rears and centre are for; null where the front is all there is. */
export function feedBalance(context: PlanContext, feeds: readonly Feed[]): Balance | null {
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const hasRears = outputs.includes('rear') && outputs.includes('front');
  const centre = centreOf(context, outputs.includes('centre'));
  if (outputs.length < 2 && centre === 'not asked for') return null;
  const canDelay = (context.equipment?.converter?.maximumDelaySeconds ?? 0) >= FILL.delaySeconds[0];
  return {
    kind: 'balance',
    id: 'balance',
    restsOn: idsOf(context.taps.flatMap(({ band }) => band ?? [])),
    reasons: [
      ...(hasRears ? rearReasons(canDelay) : []),
      ...(outputs.includes('subwoofer') ? [{ code: 'subwoofer is turned at the seat' as const }] : []),
      ...centreReasons(context, centre),
    ],
    levels: outputs.map((output) => ({
      output,
      againstFrontDb: output === 'subwoofer' ? null : output === 'rear' && hasRears ? FILL.levelDb : 0,
    })),
    rearFill: hasRears
      ? { levelDb: FILL.levelDb, bandHz: [...FILL.bandHz], delaySeconds: [...FILL.delaySeconds], canDelay }
      : null,
    centre,
  };
}

function rearReasons(canDelay: boolean): Reason[] {
  const [fromSeconds, toSeconds] = FILL.delaySeconds;
  return [
    { code: 'rears start lower and late', levelDb: FILL.levelDb, fromSeconds, toSeconds },
    ...(canDelay ? [] : [{ code: 'rears as a second front' as const }]),
  ];
}

function centreOf({ equipment, taps }: PlanContext, isFed: boolean): Balance['centre'] {
  if (isFed) return 'own output';
  if (taps.some(({ output, unfit }) => output === 'centre' && !unfit)) return 'stays with the radio';
  const isAsked = equipment?.amplifiers.some(({ feeds }) => feeds.includes('centre')) ?? false;
  return isAsked ? 'no output of its own' : 'not asked for';
}

function centreReasons({ taps }: PlanContext, centre: Balance['centre']): Reason[] {
  if (centre === 'not asked for') return [];
  if (centre === 'no output of its own')
    return [{ code: 'no centre output' }, { code: 'left plus right is no centre' }];
  const tap = taps.find(({ output, unfit }) => output === 'centre' && !unfit)!;
  const edgeHz = (edge: { minus3Hz: object } | null | undefined) =>
    edge != null && 'value' in edge.minus3Hz ? (edge.minus3Hz as { value: number }).value : null;
  const [fromHz, toHz] = [edgeHz(tap.band?.lowEdge), edgeHz(tap.band?.highEdge)];
  return [
    { code: 'centre carries its own sound', tapId: tap.tapId },
    ...(fromHz === null && toHz === null
      ? []
      : [{ code: 'centre ends within the band' as const, fromHz, toHz }]),
  ];
}
