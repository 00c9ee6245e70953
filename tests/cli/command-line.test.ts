import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { steptone } from './steptone.ts';
import { steptoneHere } from './steptone-here.ts';

const COMMANDS = [
  'new',
  'page',
  'tones',
  'simulate',
  'check',
  'analyse',
  'verify',
  'replan',
  'curves',
  'clips',
  'gains',
  'schema',
];

describe.concurrent('the command line', () => {
  it.each([[], ...COMMANDS.map((name) => [name])])(
    '--help %s has an example and the exit statuses',
    async (...words) => {
      const { status, stdout, stderr } = await steptoneHere([...words, '--help']);
      expect(stderr).toBe('');
      expect(status).toBe(0);
      expect(stdout).toMatch(/Example:\n {2}steptone \w+ /);
      for (const exitStatus of [0, 1, 2, 3, 4])
        expect(stdout).toMatch(new RegExp(`^ {2}${exitStatus} {2}\\w`, 'm'));
    },
  );

  it('Without a word it shows the help.', async () => {
    const [bare, help] = await Promise.all([steptone([]), steptoneHere(['--help'])]);
    expect(bare).toEqual(help);
  });

  it.each([
    [['analize', 'x'], 'analyse'],
    [['shema', 'session'], 'schema'],
    [['verfy', 'x'], 'verify'],
    [['replan', 'x', '--equipmnt', 'y'], '--equipment'],
    [['analyse', 'x', '--setings', '10'], '--settings'],
    [['schema', 'sesion'], "'session'"],
  ])('%j is met with the right word', async (args, word) => {
    const { status, stdout, stderr } = await steptoneHere(args);
    expect(status).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toContain(word);
    expect(stderr.trimEnd()).not.toContain('\n');
  });

  it.each([
    [['gains'], 'steptone gains --help'],
    [['tones', 'x', '--rate', '96000'], 'steptone tones --help'],
    [['curves'], 'steptone curves --help'],
    [['analyse', 'a', 'b'], 'steptone analyse --help'],
    [['--nothing'], 'steptone --help'],
  ])('%j names the help of its own command', async (args, help) => {
    const { status, stdout, stderr } = await steptoneHere(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(new RegExp(`Next: see ${help}\\.\n$`));
  });

  it('--quiet prints nothing when all is well.', async () => {
    expect(await steptoneHere(['schema', 'session', '--quiet'])).toEqual({
      status: 0,
      stdout: '',
      stderr: '',
    });
  });

  it('A process of its own ends with the status, and prints what is told here.', async () => {
    for (const args of [['schema', 'sesion'], ['gains'], ['schema', 'session', '--quiet']])
      expect(await steptone(args)).toEqual(await steptoneHere(args));
  });

  it.each([
    [['schema', 'sesion', '--json'], "'sesion'"],
    [['schema', '--json'], "missing required argument 'session|results|scenario|verification'"],
  ])('%j states the error as data too.', async (args, found) => {
    const { status, stdout } = await steptoneHere(args);
    expect(status).toBe(2);
    expect(JSON.parse(stdout).error).toMatchObject({ code: 'usage', found });
  });
});

describe('the printed schemas, held against ajv (an independent JSON Schema validator)', () => {
  it('All are valid JSON Schema 2020-12.', async () => {
    for (const which of ['session', 'results', 'scenario', 'verification']) {
      const { stdout } = await steptoneHere(['schema', which]);
      expect(new Ajv2020({ strict: true, allowUnionTypes: true }).validateSchema(JSON.parse(stdout))).toBe(
        true,
      );
    }
  });

  it('That of the session accepts what the tool accepts, and refuses what it refuses.', async () => {
    const { stdout } = await steptoneHere(['schema', 'session']);
    const validate = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(JSON.parse(stdout));
    const calibration = { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.23 };
    const session = { settings: '10-38/4', channels: ['front-left', null], calibration };
    expect(validate(session)).toBe(true);
    expect(validate({ ...session, setings: 10 })).toBe(false);
    expect(validate({ ...session, channels: [] })).toBe(false);
    expect(validate({ ...session, calibration: { ...calibration, fullScaleVoltsRms: -1 } })).toBe(false);
  });

  it('That of a scenario accepts the invented cars of the cases, and refuses a slip in one.', async () => {
    const { stdout } = await steptoneHere(['schema', 'scenario']);
    const validate = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(JSON.parse(stdout));
    for (const car of ['a', 'b', 'c', 'e', 'h']) {
      const scenario = parse(readFileSync(join(import.meta.dirname, `../cases/${car}.yaml`), 'utf8'));
      expect(validate(scenario), car).toBe(true);
      expect(validate({ ...scenario, taps: [{ ...scenario.taps[0], delay: 3 }] })).toBe(false);
    }
  });

  it('Every field of a scenario is explained.', async () => {
    const { stdout } = await steptoneHere(['schema', 'scenario']);
    const fields = fieldsIn(JSON.parse(stdout));
    expect(fields.length).toBeGreaterThan(180);
    expect(fields.filter(({ description }) => description === '')).toEqual([]);
  });

  it('Every field of the session is explained, and every optional one states its default.', async () => {
    const { stdout } = await steptoneHere(['schema', 'session']);
    const fields = fieldsIn(JSON.parse(stdout));
    expect(fields.length).toBeGreaterThan(90);
    const silent = fields.filter(
      ({ description, required }) => !required && !description.includes('Default'),
    );
    expect(silent.map(({ name }) => name)).toEqual([]);
  });
});

interface SchemaNode {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly required?: readonly string[];
  readonly items?: SchemaNode;
  readonly anyOf?: readonly SchemaNode[];
  readonly oneOf?: readonly SchemaNode[];
}

function fieldsIn(node: SchemaNode): { name: string; description: string; required: boolean }[] {
  const own = Object.entries(node.properties ?? {}).map(([name, field]) => ({
    name,
    description: field.description ?? '',
    required: node.required?.includes(name) ?? false,
  }));
  const inside = [...Object.values(node.properties ?? {}), ...(node.anyOf ?? []), ...(node.oneOf ?? [])];
  const items = node.items === undefined ? [] : [node.items];
  return [...own, ...[...inside, ...items].flatMap(fieldsIn)];
}
