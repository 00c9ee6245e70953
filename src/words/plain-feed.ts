/** "front left" for feed-front-left: ids are for files. */
export function plainFeed(feedId: string): string {
  return feedId.replace(/^feed-/, '').replaceAll('-', ' ');
}
