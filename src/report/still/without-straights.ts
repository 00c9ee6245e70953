/** A place in a picture, in pixels. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Nearer to a straight line than half a pixel is on it. */
const ON_LINE_PX = 0.5;

/**
 * The points that a line through all of them cannot do without (Douglas and Peucker, Cartographica 10(2), 1973, with
 * distances upright, since curves run from left to right).
 *
 * @param points from left to right
 */
export function withoutStraights<At extends Point>(points: readonly At[]): At[] {
  if (points.length < 3) return [...points];
  const first = points[0];
  const last = points[points.length - 1];
  const slope = last.x === first.x ? 0 : (last.y - first.y) / (last.x - first.x);
  let farthest = 0;
  let mostApart = 0;
  points.forEach(({ x, y }, i) => {
    const apart = Math.abs(y - first.y - slope * (x - first.x));
    if (apart > mostApart) [farthest, mostApart] = [i, apart];
  });
  if (mostApart <= ON_LINE_PX) return [first, last];
  return [
    ...withoutStraights(points.slice(0, farthest + 1)).slice(0, -1),
    ...withoutStraights(points.slice(farthest)),
  ];
}
