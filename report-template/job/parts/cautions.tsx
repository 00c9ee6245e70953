import { CAUTIONS } from '../../../src/report/cautions.ts';

/** The cautions of one moment of the work, at the step where they matter. */
export function Cautions({ moment }: { readonly moment: 0 | 1 | 2 }) {
  const { title, items } = CAUTIONS[moment];
  return (
    <aside class="cautions" aria-label={`Cautions: ${title.toLowerCase()}`}>
      <h3>Cautions: {title.toLowerCase()}</h3>
      <ul>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </aside>
  );
}
