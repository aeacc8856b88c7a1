import { buffer } from 'node:stream/consumers';
import { ZipFile } from 'yazl';

export interface ZipEntry {
  readonly name: string;
  readonly text: string;
}

/** Local fields that read as the UTC ones: a ZIP's own time has no zone, and bytes must not depend on the server's. */
const asDosTime = (at: Date): Date =>
  new Date(
    at.getUTCFullYear(),
    at.getUTCMonth(),
    at.getUTCDate(),
    at.getUTCHours(),
    at.getUTCMinutes(),
    at.getUTCSeconds(),
  );

/** Texts as a ZIP; the same entries and time make the same bytes. */
export function zipOf(entries: readonly ZipEntry[], at: Date): Promise<Buffer> {
  const zip = new ZipFile();
  for (const { name, text } of entries) {
    zip.addBuffer(Buffer.from(text, 'utf8'), name, { mtime: asDosTime(at), mode: 0o100644, forceDosTimestamp: true });
  }
  zip.end();
  return buffer(zip.outputStream);
}
