import { expect, it } from 'vitest';
import { foreignFolders, withoutFolders } from '../../report-template/job/keep/inner-folder.ts';

const blob = new Blob(['x']);
const of = (...names: string[]) => new Map(names.map((name) => [name, blob]));

it.each([
  [
    'a card of a recorder',
    ['DCIM/FOLDER01/REC 1.wav', 'DCIM/FOLDER01/REC 2.wav', 'DCIM/index.html'],
    ['DCIM/index.html', 'REC 1.wav', 'REC 2.wav'],
  ],
  [
    'a customer’s folder',
    ['Müller/Auto 1/session.yaml', 'Müller/Auto 1/after-install/a.wav'],
    ['after-install/a.wav', 'session.yaml'],
  ],
  [
    'a job of a proof alone',
    ['after-install/session.yaml', 'after-install/a.wav'],
    ['after-install/a.wav', 'after-install/session.yaml'],
  ],
  ['a folder a pair', ['front/10.wav', 'rear/10.wav'], ['front/10.wav', 'rear/10.wav']],
])('%s is taken out of its folders.', (_, given, taken) => {
  expect([...withoutFolders(of(...given)).keys()].sort()).toEqual(taken);
});

it('Recordings in folders that no step reads are named.', () => {
  expect(
    foreignFolders(['front/10.wav', 'front/14.wav', 'rear/10.wav', 'after-install/a.wav', 'a.wav']),
  ).toEqual(['front', 'rear']);
});
