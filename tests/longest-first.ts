import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * Files of five seconds and more, as measured on two cores. Those that wait for a browser stand between those that compute, so
 * that neither a core nor a browser has nothing to do; the one that records in real time begins.
 */
const LONGEST = [
  'browser/job-record',
  'faults/coupled-recorder',
  'faults/lying-sessions',
  'browser/job-page',
  'oracles/ngspice',
  'findings/band/full-range-all-the-same',
  'cases/b',
  'browser/job-takes',
  'recommend/chain/random-cars',
  'faults/radio-habits',
  'browser/report',
  'faults/announcements',
  'end-to-end/bass',
  'browser/typed-and-closed',
  'faults/lossy-outside',
  'browser/job-keeping',
  'findings/band/band-study',
  'end-to-end/bands',
  'browser/job-results',
  'accuracy/short-form',
  'cases/h',
  'browser/job-odd-ways',
  'cases/c',
  'faults/digital-zero',
  'browser/job-firefox',
  'faults/clocks',
  'tones/meter-tone',
  'browser/sheets',
  'fuzz/texts',
  'takes/find-takes',
  'browser/report-firefox',
  'faults/whole-session',
  'browser/job-input',
  'end-to-end/timing-and-sum',
  'cli/analyse',
  'browser/job-keyboard',
  'faults/not-whole',
  'cases/l',
  'browser/job-first-take',
  'cli/write-together',
  'cases/f2',
  'browser/plotting-bundle',
  'cases/n',
  'findings/bass/bass-shape',
  'browser/quickness',
  'end-to-end/sox',
];

/** Long files begin first: one that began last would leave the other workers without work. All others as they come. */
export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const placeOf = ({ moduleId }: TestSpecification) => {
      const place = LONGEST.findIndex((name) => moduleId.endsWith(`/tests/${name}.test.ts`));
      return place < 0 ? LONGEST.length : place;
    };
    return (await super.sort(files)).sort((a, b) => placeOf(a) - placeOf(b));
  }
}
