import { Cautions } from '../parts/cautions.tsx';
import { RecordTakes } from './record-takes.tsx';

/** Recording from a sound interface, or with a recorder whose files are dropped. */
export function RecordStep() {
  return (
    <>
      <p>
        Record here from a sound interface, or with a recorder: drop its files anywhere on this page. Tone,
        balance and fade at centre, the gain set once at the highest setting and left alone.
      </p>
      <RecordTakes step="record" />
      <Cautions moment={1} />
    </>
  );
}
