import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';
import { apart } from './apart.ts';
import { type ChosenConstant, chosenConstants, scaled } from './chosen-here.ts';

/** `npm run thresholds`: what happens to the samples' answers at half and at double of each constant that nobody can source. */
const root = resolve(import.meta.dirname, '../..');
const OUT = join(root, 'out/thresholds');
const FOLDERS = ['sample-audio/rear-left', 'out/demo/recordings'].map((folder) => join(root, folder));
/** An analysis takes a few seconds; a search that finds no end is an answer too. */
const LONGEST_MS = 120_000;

if (!FOLDERS.every(existsSync))
  throw new Error('Run npm run demo first: its recordings are one of the samples.');
mkdirSync(OUT, { recursive: true });
const usual = await answersWith(null);
const rows: string[] = [];
for (const constant of chosenConstants(root)) {
  const [half, double] = [await outcome(constant, 0.5), await outcome(constant, 2)];
  const { file, name, value, why } = constant;
  rows.push(`| \`${file.replace('src/', '')}\` | \`${name} = ${value}\` | ${why} | ${half} | ${double} |`);
  process.stdout.write(`${rows.at(-1)}\n`);
}
writeFileSync(join(import.meta.dirname, 'README.md'), `${heading()}\n${rows.join('\n')}\n`);

async function outcome(constant: ChosenConstant, factor: number): Promise<string> {
  const { file, value, at } = constant;
  const text = readFileSync(join(root, file), 'utf8');
  const changed = text.slice(0, at) + scaled(constant, factor) + text.slice(at + value.length);
  try {
    return apart(usual, await answersWith({ file: join(root, file), text: changed }));
  } catch {
    return 'fails';
  }
}

async function answersWith(changed: { readonly file: string; readonly text: string } | null) {
  const outfile = join(OUT, 'answers.mjs');
  await build({
    entryPoints: [join(import.meta.dirname, 'answers.ts')],
    bundle: true,
    platform: 'node',
    format: 'esm',
    outfile,
    logLevel: 'silent',
    banner: {
      js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
    },
    plugins: [
      {
        name: 'one constant changed',
        setup: ({ onLoad }) =>
          onLoad({ filter: /\/src\/.*\.ts$/ }, ({ path }) =>
            path === changed?.file ? { contents: changed.text, loader: 'ts' } : undefined,
          ),
      },
    ],
  });
  return JSON.parse(
    execFileSync(process.execPath, [outfile, ...FOLDERS], {
      encoding: 'utf8',
      timeout: LONGEST_MS,
      maxBuffer: 2 ** 28,
      stdio: ['ignore', 'pipe', 'ignore'],
    }),
  );
}

function heading(): string {
  return [
    '# Constants that nobody can source',
    '',
    'What the findings and recommendations of `sample-audio/rear-left` and of the demo become at half and at double of each.',
    '`npm run demo && npm run thresholds` makes this table again. *Same*: not one figure moves. *Figures*: they move by so much of',
    'themselves (of 1 where they are smaller) at most, and every verdict stays. Else the answers whose words change.',
    'The radios of both samples have few filters and no lost sound: *same* at a constant of fits or of searches says no more than that.',
    '',
    '| file in `src` | constant | what it is for | half | double |',
    '|---|---|---|---|---|',
  ].join('\n');
}
