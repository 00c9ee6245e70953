import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface Frame {
  readonly label: string;
  readonly unit?: string | undefined;
  /** What the field means, and its default. */
  readonly help?: string | undefined;
  readonly fault?: string | undefined;
}

/** A label, a place to write, and below it what is wrong or what is meant. */
function Framed({
  label,
  unit,
  help,
  fault,
  children,
}: Frame & {
  readonly children: (ids: { id: string; 'aria-describedby': string | undefined }) => ComponentChildren;
}) {
  const id = useId();
  const described = fault !== undefined || help !== undefined ? `${id}-about` : undefined;
  return (
    <div class={fault === undefined ? 'field' : 'field wrong'}>
      <label for={id}>{label}</label>
      <div class="entry">
        {children({ id, 'aria-describedby': described })}
        {unit !== undefined && <span class="unit">{unit}</span>}
      </div>
      {described !== undefined && (
        <p id={described} class="about" role={fault === undefined ? undefined : 'status'}>
          {fault ?? help}
        </p>
      )}
    </div>
  );
}

export function TextField({
  value,
  placeholder,
  numeric = false,
  onInput,
  ...frame
}: Frame & {
  readonly value: string;
  readonly placeholder?: string | undefined;
  readonly numeric?: boolean;
  readonly onInput: (text: string) => void;
}) {
  return (
    <Framed {...frame}>
      {(ids) => (
        <input
          {...ids}
          type="text"
          inputMode={numeric ? 'decimal' : undefined}
          class={numeric ? 'short' : undefined}
          value={value}
          placeholder={placeholder}
          aria-invalid={frame.fault !== undefined}
          autocomplete="off"
          onInput={({ currentTarget }) => onInput(currentTarget.value)}
        />
      )}
    </Framed>
  );
}

export function ChoiceField({
  value,
  choices,
  onChoose,
  ...frame
}: Frame & {
  readonly value: string;
  readonly choices: readonly (readonly [value: string, label: string])[];
  readonly onChoose: (value: string) => void;
}) {
  return (
    <Framed {...frame}>
      {(ids) => (
        <select
          {...ids}
          aria-invalid={frame.fault !== undefined}
          onChange={({ currentTarget }) => onChoose(currentTarget.value)}
        >
          {choices.map(([one, label]) => (
            <option key={one} value={one} selected={one === value}>
              {label}
            </option>
          ))}
        </select>
      )}
    </Framed>
  );
}

/** Any number of words out of several. */
export function TicksField({
  label,
  help,
  fault,
  value,
  choices,
  onChange,
}: Frame & {
  readonly value: readonly string[];
  readonly choices: readonly (readonly [value: string, label: string])[];
  readonly onChange: (value: string[]) => void;
}) {
  return (
    <fieldset class={fault === undefined ? 'ticks' : 'ticks wrong'}>
      <legend>{label}</legend>
      {choices.map(([one, words]) => (
        <label key={one}>
          <input
            type="checkbox"
            checked={value.includes(one)}
            onChange={({ currentTarget }) =>
              onChange(
                currentTarget.checked
                  ? choices.map(([each]) => each).filter((each) => each === one || value.includes(each))
                  : value.filter((each) => each !== one),
              )
            }
          />{' '}
          {words}
        </label>
      ))}
      {(fault ?? help) !== undefined && <p class="about">{fault ?? help}</p>}
    </fieldset>
  );
}
