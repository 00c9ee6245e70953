import { Trouble } from '../parts/running.tsx';
import type { TakeAnswer } from '../sound/judged-take.ts';

/** Whether a take is good, what is wrong with it, and what comes next. */
export function AnswerOfTake({ answer }: { readonly answer: TakeAnswer }) {
  return (
    <div class={answer.good ? 'verdict' : 'verdict again'} role="status">
      <p>
        <strong>{answer.good ? 'Good' : 'Again'}</strong>: {answer.file}
      </p>
      {answer.said.length > 0 && (
        <ul>
          {answer.said.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {answer.error !== null && <Trouble error={answer.error} />}
      {answer.error === null && <p>Next: {answer.next}.</p>}
    </div>
  );
}
