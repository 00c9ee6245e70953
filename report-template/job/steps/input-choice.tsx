import { ChoiceField } from '../forms/field.tsx';
import type { Input } from '../sound/use-input.ts';

/** Which sound interface records, and whether anything changes its sound on the way. */
export function InputChoice({
  input,
  main = false,
}: {
  readonly input: Input;
  /** Whether opening it is the one thing to do next. */
  readonly main?: boolean;
}) {
  return (
    <>
      {input.capture === null && (
        <div class="fields">
          <ChoiceField
            label="Sound interface"
            value={input.deviceId}
            choices={[
              ['', 'the system’s choice'],
              ...input.devices.map(({ id, label }) => [id, label] as const),
            ]}
            help={input.devices.length === 0 ? 'The names appear once an input has been opened.' : undefined}
            onChoose={input.choose}
          />
        </div>
      )}
      {input.capture === null ? (
        <p class="run">
          <button
            type="button"
            class={main ? 'main' : undefined}
            disabled={input.opening}
            onClick={input.open}
          >
            Open the input
          </button>
          {input.opening && <span role="status"> Allow the microphone where the browser asks.</span>}
        </p>
      ) : (
        <p>
          {input.capture.device || 'The input'} is open: {input.capture.sampleRateHz} Hz,{' '}
          {input.capture.channelCount === 1 ? 'one channel' : `${input.capture.channelCount} channels`}.{' '}
          <button type="button" onClick={input.close}>
            Close it
          </button>
        </p>
      )}
      {(input.capture?.processing ?? []).map((what) => (
        <p key={what} class="trouble" role="alert">
          Something changes the sound on its way: {what}. Turn it off in the system’s sound settings, or use
          another browser or interface. Do not trust takes recorded like this.
        </p>
      ))}
      {input.trouble !== null && (
        <p class="trouble" role="alert">
          {input.trouble}
        </p>
      )}
    </>
  );
}
