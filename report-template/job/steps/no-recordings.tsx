/** In place of what needs recordings. */
export function NoRecordings() {
  return (
    <p>There are no recordings yet: make them under Record, or drop the files of a recorder on this page.</p>
  );
}
