/** Lines as the command line prints them: one that ends in a colon heads those that are moved in below it. */
export function Lines({ text }: { readonly text: string }) {
  const blocks: { head: string | null; lines: string[] }[] = [];
  for (const line of text.split('\n')) {
    if (line.trim() === '') continue;
    const last = blocks.at(-1);
    if (line.startsWith('  ') && last !== undefined) last.lines.push(line.trim());
    else blocks.push({ head: line, lines: [] });
  }
  if (blocks.length === 0) return null;
  return (
    <div class="lines">
      {blocks.map(({ head, lines }, i) => (
        <div key={i}>
          <p class={lines.length > 0 ? 'head' : undefined}>{head}</p>
          {lines.length > 0 && (
            <ul>
              {lines.map((line, j) => (
                <li key={j}>{line}</li>
              ))}
            </ul>
          )}
        </div>
      ))}
    </div>
  );
}
