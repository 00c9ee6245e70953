import { useState } from 'preact/hooks';
import type { SessionInput, TapInput } from '../../../src/model/session-input.ts';
import { ChoiceField, TextField } from '../forms/field.tsx';
import { entriesOf, pathKey, valueAt } from '../forms/written.ts';
import { sessionForm } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

const TAP_CHOICES = {
  load: ['speaker', 'resistor', 'nothing', 'unknown'],
  connection: ['pair', 'one leg'],
} as const;

type Noted = NonNullable<SessionInput['taps']>[number];

/** What is noted of each output: what hangs on it, and how it is found again. */
export function OutputNotes({ job }: { readonly job: Job }) {
  const taps = entriesOf((sessionForm(job).written.value as SessionInput).taps);
  const [open, setOpen] = useState<string | null>(null);
  if (taps.length === 0) return null;
  return (
    <>
      <h3>Each output</h3>
      {taps.map((tap, i) => {
        const id = typeof tap === 'string' ? tap : tap.id;
        return (
          <details
            key={id}
            open={open === id}
            onToggle={({ currentTarget }) => currentTarget.open && setOpen(id)}
          >
            <summary>{id}</summary>
            <OneOutput job={job} tap={tap} i={i} />
          </details>
        );
      })}
    </>
  );
}

function OneOutput({ job, tap, i }: { readonly job: Job; readonly tap: Noted; readonly i: number }) {
  const { faults } = sessionForm(job).written;
  const set = (path: readonly string[], value: string | object | undefined) => {
    // An output that had a name and nothing else becomes one with notes.
    if (typeof tap === 'string') sessionForm(job).set(['taps', i], { id: tap });
    sessionForm(job).set(['taps', i, ...path], value === '' ? undefined : value);
  };
  return (
    <div class="fields">
      {(['load', 'connection'] as const).map((name) => (
        <ChoiceField
          key={name}
          label={name === 'load' ? 'Connected to it' : 'Recorded across'}
          value={String(valueAt(tap, [name]) ?? '')}
          choices={[
            ['', name === 'load' ? 'not stated' : 'not stated (pair)'],
            ...TAP_CHOICES[name].map((word) => [word, word] as const),
          ]}
          onChoose={(word) => set([name], word)}
        />
      ))}
      {(['plus', 'minus'] as const).map((side) => (
        <WireFields
          key={side}
          words={side === 'plus' ? 'Plus' : 'Minus'}
          noted={typeof tap === 'string' ? undefined : tap[side]}
          onNote={(wire) => set([side], wire)}
        />
      ))}
      {(['connector', 'note'] as const).map((name) => (
        <TextField
          key={name}
          label={name === 'connector' ? 'Plug' : 'Note'}
          value={String(valueAt(tap as TapInput, [name]) ?? '')}
          fault={faults.get(pathKey(['taps', i, name]))}
          onInput={(text) => set([name], text)}
        />
      ))}
    </div>
  );
}

function WireFields({
  words,
  noted,
  onNote,
}: {
  readonly words: string;
  readonly noted: TapInput['plus'];
  readonly onNote: (wire: object | undefined) => void;
}) {
  const { colour, pin } = typeof noted === 'object' ? noted : { colour: noted, pin: undefined };
  const note = (part: 'colour' | 'pin', text: string) => {
    const both = { colour, pin: pin === undefined ? undefined : String(pin), [part]: text };
    const filled = Object.fromEntries(Object.entries(both).filter(([, one]) => one));
    onNote(Object.keys(filled).length === 0 ? undefined : filled);
  };
  return (
    <>
      <TextField
        label={`${words} wire, colour`}
        value={colour ?? ''}
        onInput={(text) => note('colour', text)}
      />
      <TextField
        label={`${words} wire, pin`}
        value={pin === undefined ? '' : String(pin)}
        onInput={(text) => note('pin', text)}
      />
    </>
  );
}
