import { ChoiceField, TextField } from '../forms/field.tsx';
import { numberIn } from '../forms/number-in.ts';
import { valueAt } from '../forms/written.ts';
import { sessionForm } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

const CALIBRATIONS = [
  ['none', 'nothing yet: no volts'],
  ['pad', 'pad and recorder'],
  ['tone', 'a meter tone'],
] as const;

/** How full scale becomes volts. */
export function CalibrationFields({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const written = valueAt(form.written.value, ['calibration']);
  const kind = (typeof written === 'object' ? String(valueAt(written, ['kind'])) : written) ?? 'none';
  const field = (name: string, label: string, unit: string, help: string) => {
    const value = valueAt(written, [name]);
    const isMissing = value === undefined;
    return (
      <TextField
        key={name}
        label={label}
        unit={unit}
        help={isMissing ? `Needed. ${help}` : help}
        numeric={name !== 'file'}
        value={String(value ?? '')}
        fault={isMissing ? undefined : form.written.faults.get(`calibration.${name}`)}
        onInput={(text) => form.set(['calibration', name], name === 'file' ? text : numberIn(text))}
      />
    );
  };
  return (
    <>
      <h3>Volts</h3>
      <div class="fields">
        <ChoiceField
          label="Volts come from"
          value={String(kind)}
          choices={CALIBRATIONS}
          help="Without volts all else still works: bass, bands, polarity, timing."
          onChoose={(chosen) => form.set(['calibration'], chosen === 'none' ? 'none' : { kind: chosen })}
        />
        {kind === 'pad' && [
          field(
            'padRatio',
            'Pad ratio',
            '',
            'Volts at the output over volts at the recorder: 11 for 10 k over 1 k.',
          ),
          field(
            'fullScaleVoltsRms',
            'Full scale of the recorder',
            'V RMS',
            'Of a sine that just reaches full scale, with the gain as it stands.',
          ),
        ]}
        {kind === 'tone' && [
          field('file', 'Recording of the tone', '', 'A meter tone as recorded, such as tone.wav.'),
          field('voltsRms', 'The meter read', 'V RMS', 'At the output while the tone was recorded.'),
        ]}
      </div>
    </>
  );
}
