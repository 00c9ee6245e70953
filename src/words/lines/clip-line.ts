/** What a clip lets hear. */
export function clipLine({ setting, restored }: { setting: number; restored: boolean }): string {
  return restored
    ? `at setting ${setting} with bass restored`
    : `as the radio gives it at setting ${setting}`;
}
