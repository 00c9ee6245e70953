/** What the system's refusals mean to a person (error names of POSIX, `errno.h`). */
const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'nothing there',
  ENOTDIR: 'a path that leads through a file (ENOTDIR)',
  ELOOP: 'a link that leads back to itself (ELOOP)',
  EACCES: 'a refusal by the system (EACCES): no right to open it or its folder',
  EPERM: 'a refusal by the system (EPERM): no right to do that there',
  EISDIR: 'a folder in the place of a file (EISDIR)',
  ENAMETOOLONG: 'a name that is too long (ENAMETOOLONG)',
  ENOSPC: 'no space left (ENOSPC)',
  EDQUOT: 'no space left to this user (EDQUOT)',
  EROFS: 'a write-protected disk or stick (EROFS)',
  EIO: 'a disk or stick that fails (EIO)',
  EMFILE: 'too many open files (EMFILE)',
  ERR_INVALID_ARG_VALUE: 'a name with a null character in it',
};

/** Why the system did not do what it was asked. */
export function systemReason(error: unknown): string {
  const code = systemCode(error);
  if (code === undefined) return error instanceof Error ? error.message : String(error);
  return WORDS[code] ?? `a refusal by the system (${code})`;
}

/** `ENOSPC` and its like; undefined for what is no error of the system. */
export function systemCode(error: unknown): string | undefined {
  if (!(error instanceof Error) || !('code' in error)) return undefined;
  const code = String(error.code);
  return code in WORDS || /^E[A-Z0-9]+$/.test(code) ? code : undefined;
}
