type Json = Record<string, unknown>;
type Names = ReadonlyMap<string, string>;

const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const objects = (value: unknown): Json[] => (Array.isArray(value) ? value.filter(isObject) : []);

/** A quantity as words; nothing where there is none. */
function quantity(value: unknown): string {
  if (!isObject(value) || typeof value.value !== 'number') {
    return '';
  }
  const unit = value.unit === 'Cel' ? '°C' : String(value.unit ?? '');
  return `${value.value} ${unit}`.trim();
}

const litres = (value: unknown): string =>
  typeof value === 'string' && Number(value) !== 0 ? `${Number(value)} L` : '';
const named = (value: unknown, names: Names): string => (typeof value === 'string' ? (names.get(value) ?? '') : '');
const joined = (parts: readonly string[], by = ', '): string => parts.filter((part) => part !== '').join(by);
const labelled = (label: string, value: string): string => (value === '' ? '' : `${label} ${value}`);

const materialWords = (used: Json, names: Names): string =>
  joined([named(used.materialLotId, names), joined([quantity(used.mass), quantity(used.volume)])], ' ');

/** Description of an operation from its document; ids of vessels and material lots are replaced by their names. */
export function operationWords(document: Readonly<Json>, names: Names): string {
  const asRead = isObject(document.asRead) ? document.asRead : {};
  const packed =
    typeof document.count === 'number' && typeof document.nominalLitres === 'string'
      ? `${document.count} × ${Number(document.nominalLitres)} L`
      : '';
  return joined([
    joined(
      [
        labelled('from', named(document.fromVesselId, names)),
        labelled('to', named(document.toVesselId, names)),
        named(document.vesselId, names),
      ],
      ' ',
    ),
    typeof document.purpose === 'string' ? document.purpose.replaceAll('-', ' ') : '',
    labelled('read as', joined([quantity(asRead.volume), quantity(asRead.temperature)], ' at ')),
    labelled('found', litres(document.foundLitres)),
    labelled('drawn', litres(document.drawnLitres)),
    labelled('lost', litres(document.lossLitres)),
    labelled('water', litres(document.waterL)),
    labelled('added', litres(document.addedLitres)),
    labelled('to', quantity(document.targetStrength)),
    packed,
    ...objects(document.materials).map((each) => materialWords(each, names)),
    ...objects(document.spirits).map((each) => materialWords(each, names)),
    ...objects(document.parts).map((each) =>
      joined([named(each.lotId, names), named(each.vesselId, names), quantity(each.volume)], ' '),
    ),
    labelled('volume change on mixing', litres(document.volumeChangeL)),
  ]);
}
