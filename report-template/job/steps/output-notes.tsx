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

/** What is noted of each output: what hangs on it, and how it is found again. */
export function OutputNotes({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const taps = entriesOf((form.written.value as SessionInput).taps);
  const [open, setOpen] = useState<string | null>(null);
  if (taps.length === 0) return null;
  return (
    <>
      <h3>Each output</h3>
      {taps.map((tap, i) => {
        const id = typeof tap === 'string' ? tap : tap.id;
        const set = (path: readonly string[], text: string | undefined) => {
          if (typeof tap === 'string') form.set(['taps', i], { id });
          sessionForm(job).set(['taps', i, ...path], text === '' ? undefined : text);
        };
        const wire = (side: 'plus' | 'minus', words: string) => {
          const noted = typeof tap === 'string' ? undefined : tap[side];
          const { colour, pin } = typeof noted === 'object' ? noted : { colour: noted, pin: undefined };
          const setWire = (part: 'colour' | 'pin', text: string) => {
            const both = { colour, pin: pin === undefined ? undefined : String(pin), [part]: text };
            const filled = Object.fromEntries(Object.entries(both).filter(([, one]) => one));
            if (typeof tap === 'string') form.set(['taps', i], { id });
            sessionForm(job).set(['taps', i, side], Object.keys(filled).length === 0 ? undefined : filled);
          };
          return [
            <TextField
              key={`${side} colour`}
              label={`${words} wire, colour`}
              value={colour ?? ''}
              onInput={(text) => setWire('colour', text)}
            />,
            <TextField
              key={`${side} pin`}
              label={`${words} wire, pin`}
              value={pin === undefined ? '' : String(pin)}
              onInput={(text) => setWire('pin', text)}
            />,
          ];
        };
        return (
          <details
            key={id}
            open={open === id}
            onToggle={({ currentTarget }) => currentTarget.open && setOpen(id)}
          >
            <summary>{id}</summary>
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
              {wire('plus', 'Plus')}
              {wire('minus', 'Minus')}
              {(['connector', 'note'] as const).map((name) => (
                <TextField
                  key={name}
                  label={name === 'connector' ? 'Plug' : 'Note'}
                  value={String(valueAt(tap as TapInput, [name]) ?? '')}
                  fault={form.written.faults.get(pathKey(['taps', i, name]))}
                  onInput={(text) => set([name], text)}
                />
              ))}
            </div>
          </details>
        );
      })}
    </>
  );
}
