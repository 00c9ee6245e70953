/**
 * What a file that is not WAV seems to be, in words for a message.
 *
 * @param head the first 12 to 16 bytes, or all of a shorter file
 */
export function fileKind(head: Uint8Array): string {
  if (head.length === 0) return 'an empty file';
  if (head.length < 12) return `a file of ${head.length} bytes`;
  if (head.every((byte) => byte === 0)) return 'zeros: the recorder lost power before it wrote the header';
  const text = String.fromCharCode(...head);
  const match = SIGNATURES.find(([start]) => start.test(text));
  return match?.[1] ?? `bytes that begin ${hexadecimal(head.subarray(0, 4))}`;
}

/** From each format's own description, as the `file` program of Unix systems lists them too. */
const SIGNATURES: readonly (readonly [RegExp, string])[] = [
  [/^ID3/, 'an ID3 tag: this looks like an MP3'],
  [/^\xff[\xf0\xf1\xf8\xf9]/, 'an AAC stream'],
  [/^\xff[\xe2-\xff]/, 'an MPEG audio frame: this looks like an MP3'],
  [/^fLaC/, 'a FLAC file'],
  [/^OggS/, 'an Ogg file (Vorbis or Opus)'],
  [/^.{4}ftyp/s, 'an MP4 or M4A file (AAC or ALAC)'],
  [/^FORM.{4}AIF[FC]/s, 'an AIFF file'],
  [/^caff/, 'a Core Audio file'],
  [/^riff/, 'a Wave64 file'],
  [/^RIFX/, 'a big-endian WAV file (RIFX)'],
  [/^RIFF.{4}AVI /s, 'a video file (AVI)'],
  [/^(RIFF|RF64|BW64)/, 'a RIFF file with something other than sound in it'],
  [/^wvpk/, 'a WavPack file'],
  [/^#!AMR/, 'an AMR speech file'],
  [/^\x30\x26\xb2\x75/, 'a WMA file'],
  [/^.E\xdf\xa3/s, 'a Matroska or WebM file'],
  [/^PK/, 'a ZIP archive'],
  [/^[\t\n\r -~]+$/, 'plain text'],
];

function hexadecimal(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
}
