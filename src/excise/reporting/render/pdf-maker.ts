import { createRequire } from 'node:module';
import { dirname, join, sep } from 'node:path';
import type { TDocumentDefinitions } from 'pdfmake/interfaces.js';

// Resolved as a package, since the program runs from dist and the tests from src.
const FONTS = join(dirname(createRequire(import.meta.url).resolve('pdfmake/package.json')), 'fonts', 'Roboto');

/** The one family that documents and charts are set in. */
export const FONT_FAMILY = 'Roboto';

type Maker = typeof import('pdfmake');
let loaded: Maker | undefined;

/** Loaded when the first document is asked for: a start should not wait for it. */
function maker(): Maker {
  if (loaded === undefined) {
    loaded = createRequire(import.meta.url)('pdfmake') as Maker;
    prepare(loaded);
  }
  return loaded;
}

function prepare(pdfmake: Maker): void {
  pdfmake.setFonts({
    [FONT_FAMILY]: {
      normal: join(FONTS, 'Roboto-Regular.ttf'),
      bold: join(FONTS, 'Roboto-Medium.ttf'),
      italics: join(FONTS, 'Roboto-Italic.ttf'),
      bolditalics: join(FONTS, 'Roboto-MediumItalic.ttf'),
    },
  });
  pdfmake.setUrlAccessPolicy(() => false);
  pdfmake.setLocalAccessPolicy((path) => path.startsWith(FONTS + sep));
}

export type PdfDefinition = Omit<TDocumentDefinitions, 'info'> & { readonly title: string; readonly createdAt: Date };

/** Progress of a document: pages are laid out first, then drawn. */
export interface PrintProgress {
  readonly stage: 'waiting' | 'laying-out' | 'drawing';
  readonly pagesLaidOut: number;
  /** From 0 to 1. */
  readonly shareDrawn: number;
}

/** Sets a document. The same definition makes the same bytes: the only time in them is the one that is given. */
export async function makePdf(
  { title, createdAt, ...definition }: PdfDefinition,
  onProgress: (progress: PrintProgress) => void = () => undefined,
): Promise<Buffer> {
  const info = { title, producer: 'Gaugebook', creator: 'Gaugebook', creationDate: createdAt, modDate: createdAt };
  let pagesLaidOut = 0;
  const background = (page: number): null => {
    pagesLaidOut = page;
    onProgress({ stage: 'laying-out', pagesLaidOut, shareDrawn: 0 });
    return null;
  };
  maker().setProgressCallback((shareDrawn: number) => {
    onProgress({ stage: 'drawing', pagesLaidOut, shareDrawn });
  });
  return maker()
    .createPdf({ ...definition, info, background })
    .getBuffer();
}
