import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { OperationEvidence, PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import type { Movement } from '../../src/excise/movements/movements.dto.js';
import type { OpenProofs } from '../../src/excise/movements/proofs/proofs.dto.js';
import type { Receipt } from '../../src/production/operations/receipts/receipts.dto.js';
import type { PackagedLot } from '../../src/production/operations/packaging/packaged-lots.dto.js';
import type { TrailCheck } from '../../src/tenancy/trail/trail.dto.js';
import { Desk, micro, total } from './desk.js';

// The officer's questions on records: docs/officer-questions.md.
jest.setTimeout(600_000);

let desk: Desk;
beforeAll(async () => {
  desk = await Desk.open();
});
afterAll(() => desk.close());

type Trace = {
  lots: { lotId: string; share: number }[];
  materialLots: { materialLotId: string; supplier?: string; document?: object; share: number }[];
  receipts: { receiptId: string; supplier: string; document: object; share: number }[];
  packagedLots: { packagedLotId: string; recipients?: unknown[] }[];
};

test('5: the whole story of one lot, from materials to who got it', async () => {
  const { lotId, findingId } = desk.at('laboratory');
  const record = await desk.get<LotRecord>(`/v1/lots/${lotId}/record`);
  expect(record.readings.filter(({ kind }) => kind === 'gravity').length).toBeGreaterThan(1);
  expect(record.operations.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['charge', 'packaging']));
  expect(record.packagings.length).toBeGreaterThan(0);
  expect(record.findings.map(({ id }) => id)).toContain(findingId);
  expect(record.movements.length).toBeGreaterThan(0);
  const [back, forward] = [
    await desk.get<Trace>(`/v1/lots/${lotId}/trace?direction=backward`),
    await desk.get<Trace>(`/v1/lots/${lotId}/trace?direction=forward`),
  ];
  expect(back.materialLots.length).toBeGreaterThan(0);
  expect(back.materialLots.every(({ supplier }) => supplier?.includes('(invented)'))).toBe(true);
  expect(forward.packagedLots.map(({ packagedLotId }) => packagedLotId)).toContain(desk.at('laboratory').packagedLotId);
  const pdf = await desk.years.service.expect(200, 'get', `/v1/lots/${lotId}/record?format=pdf`, { key: desk.key });
  expect((pdf.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');
});

test('6: one delivery back to its lot and its materials, through a blend of blends', async () => {
  const movement = await desk.get<Movement>(`/v1/movements/${desk.at('export').movementId}`);
  const trace = await desk.get<Trace>(`/v1/packaged-lots/${String(movement.packagedLotId)}/trace`);
  expect(trace.lots.map(({ lotId }) => lotId)).toContain(movement.lotId);
  expect(trace.materialLots.length).toBeGreaterThan(0);
  const blended = await desk.get<Trace>(`/v1/packaged-lots/${desk.at('blendOfBlends').packagedLotId}/trace`);
  expect(blended.lots.length).toBeGreaterThan(3);
  expect(blended.lots.map(({ lotId }) => lotId)).toContain(desk.at('blendOfBlends').blendLotId);
  for (const { share } of blended.lots) expect([share > 0, share <= 1]).toEqual([true, true]);
  // Each delivery says to whom, under which document, and each material from whom, under which document.
  expect([movement.counterparty, movement.evidence.document].every((each) => each !== undefined)).toBe(true);
  expect(trace.materialLots.every(({ supplier, document }) => supplier !== undefined && document !== undefined)).toBe(
    true,
  );
  // Drink that another producer made leads to that producer and its document, and to what was short of it.
  const { releaseId, receiptId, packagedLotId } = desk.at('spoiltPaid');
  const delivery = await desk.get<Movement>(`/v1/movements/${releaseId}`);
  expect([delivery.packagedLotId, delivery.counterparty]).toEqual([packagedLotId, 'Bar B (invented)']);
  const guest = await desk.get<Trace>(`/v1/packaged-lots/${packagedLotId}/trace`);
  expect(guest.receipts).toMatchObject([{ receiptId, supplier: 'Weir Brewery (invented)', share: 1 }]);
  const receipt = await desk.get<Receipt>(`/v1/receipts/${receiptId}`);
  expect(receipt.document).toEqual(guest.receipts[0].document);
  expect(receipt.discrepancy).toMatchObject({ documentedCount: 4, short: { value: 30, unit: 'L' } });
});

test('7: from a strength to method, instrument, calibration, sample, temperature, person and time', async () => {
  const fullest = desk.at('fullest');
  const evidence = await desk.get<PeriodEvidence>(`/v1/periods/${fullest.periodId}/evidence`);
  const measured = evidence.findings.filter(({ methodId }) => methodId === 'mass-balance');
  expect(measured.length).toBeGreaterThan(3);
  const readings = new Map(evidence.readings.map((each) => [each.id, each]));
  const calibrations = new Map(evidence.calibrations.map((each) => [each.id, each]));
  let complete = 0;
  for (const finding of measured) {
    expect([finding.methodVersion, finding.sampledAt].every((each) => each.length > 4)).toBe(true);
    expect(finding.readings.length).toBeGreaterThan(0);
    for (const { readingId, measuredBy, reading } of finding.readings) {
      const taken = readings.get(readingId);
      expect(taken?.takenAt).toMatch(/Z$/);
      await desk.get(reading);
      const calibration = calibrations.get(measuredBy?.calibrationId ?? '');
      if (calibration !== undefined && taken?.personId !== undefined && taken.sampleTemperature !== undefined) {
        complete += 1;
        expect(calibration.validUntil > calibration.performedOn).toBe(true);
      }
    }
  }
  expect(complete).toBeGreaterThan(3);
  // A lapsed calibration is said where it was used.
  const { readingId, lotId } = desk.at('lapsedCalibration');
  const { findings } = await desk.get<LotRecord>(`/v1/lots/${lotId}/record`);
  const used = findings.filter(({ readings: own }) => own.some((each) => each.readingId === readingId));
  expect(JSON.stringify(used)).toMatch(/lapsed/);
});

test('8: how far labels were from what was measured, and what was done', async () => {
  const reports = await desk.reports();
  const releases = [...reports.main, ...reports.second].flatMap(({ duty }) => duty.releases);
  const compared = releases.filter(({ measuredStrength }) => measuredStrength !== undefined);
  expect(compared.length / releases.length).toBeGreaterThan(0.5);
  for (const { declaredStrength, measuredStrength } of compared) {
    expect(Math.abs(declaredStrength.value - Number(measuredStrength?.strength.value))).toBeLessThan(1);
    expect(measuredStrength?.expandedUncertainty.value).toBeGreaterThan(0);
  }
  // Over time: every run with what is declared and what is of record today, and a flag where the two do not agree.
  const runs = await desk.all<PackagedLot>('/v1/packaged-lots');
  const dated = runs.map(({ packagedOn }) => packagedOn).sort();
  expect([runs.length > 40, dated[0].slice(0, 7) < String(dated.at(-1)).slice(0, 7)]).toEqual([true, true]);
  for (const { declaredStrength, strength, expandedUncertainty, flags } of runs) {
    if (strength === undefined) continue;
    expect(expandedUncertainty?.value).toBeGreaterThan(0);
    // Farther off than the widest tolerance and the uncertainty together: it is said.
    const off = Math.abs(declaredStrength.value - strength.value) - Number(expandedUncertainty?.value);
    if (off > 1) expect(flags.map(({ code }) => code)).toContain('label-does-not-hold');
  }
  // What was done where the label was wrong: the goods were labelled anew.
  const { kind, lotId } = await desk.get<{ kind: string; lotId: string }>(
    `/v1/operations/${desk.at('relabelling').operationId}`,
  );
  expect(kind).toBe('relabelling');
  const relabelled = await desk.get<LotRecord>(`/v1/lots/${lotId}/record`);
  expect(
    new Set(relabelled.packagings.map(({ declaredStrength, lotMark }) => `${lotMark} ${declaredStrength.value}`)).size,
  ).toBeGreaterThan(1);
  const record = await desk.get<LotRecord>(`/v1/lots/${desk.at('laboratory').lotId}/record`);
  expect(record.packagings.every(({ labelCheck }) => labelCheck !== undefined)).toBe(true);
});

test('9: fill checks and a steady over-fill', async () => {
  const reports = (await desk.reports()).main;
  const lines = reports.map((report) => report.lines.find(({ line }) => line === 'fill-difference'));
  expect(lines.filter((line) => line !== undefined && line.litres.value !== 0).length).toBeGreaterThan(2);
  const lots = await desk.all<{ id: string; lotId: string }>('/v1/packaged-lots');
  const records = await Promise.all(
    [...new Set(lots.map(({ lotId }) => lotId))].slice(0, 40).map((id) => desk.get<LotRecord>(`/v1/lots/${id}/record`)),
  );
  const filled = records.flatMap(({ packagings }) => packagings).filter(({ meanFill }) => meanFill !== undefined);
  expect(filled.length).toBeGreaterThan(0);
});

test('12: destroyed goods: method, witness, the same containers, when their duty was paid, and the claim', async () => {
  const { movementId } = desk.at('destroyedLot');
  const movement = await desk.get<Movement>(`/v1/movements/${movementId}`);
  expect(movement).toMatchObject({ kind: 'destruction', witness: expect.stringMatching(/./) });
  const listed = await desk.all<Movement>('/v1/movements?kind=destruction');
  expect(listed.map(({ id }) => id)).toContain(movementId);
  expect(listed.filter(({ packagedLotId }) => packagedLotId !== undefined).length).toBeGreaterThan(3);
  for (const { evidence, witness, reasonCode, personId } of listed) {
    expect([evidence.method, witness, reasonCode, personId].map((each) => each !== undefined)).toEqual([
      true,
      true,
      true,
      true,
    ]);
  }
  // A keg came back spoilt after its duty was paid: the keg that was destroyed is the one that came back and had gone out.
  const { releaseId, returnId, ...spoilt } = desk.at('spoiltPaid');
  const [release, back, destroyed] = [
    await desk.get<Movement>(`/v1/movements/${releaseId}`),
    await desk.get<Movement>(`/v1/movements/${returnId}`),
    await desk.get<Movement>(`/v1/movements/${spoilt.movementId}`),
  ];
  expect(destroyed.serials).toEqual(back.serials);
  expect(release.serials).toEqual(expect.arrayContaining(back.serials ?? []));
  expect([back.dutyStatus, destroyed.dutyStatus]).toEqual(['paid', 'paid']);
  expect(destroyed.dutyPaidBy).toEqual([{ movementId: releaseId, dutyDate: release.duty?.dutyDate, returnId }]);
  expect(Object.keys(destroyed.evidence).sort()).toEqual(['approval', 'claim', 'method']);
  expect(destroyed.witness).toBe('Witness W (invented)');
  const { items } = await desk.get<{ items: { event: string; operationId: string }[] }>(
    `/v1/containers?serial=${String(back.serials?.[0])}`,
  );
  expect(items).toMatchObject([{ event: 'emptied', operationId: destroyed.id }]);
});

test('14: untaxed dispatches with document, recipient, proof, what is still open since when, and what arrived differently', async () => {
  const sent: Movement[] = [];
  for (const kind of ['export', 'dispatch-suspended']) {
    sent.push(...(await desk.all<Movement>(`/v1/movements?kind=${kind}`)));
  }
  expect(new Set(sent.map(({ kind }) => kind)).size).toBe(2);
  for (const { evidence, duty, counterparty } of sent) {
    expect([evidence.document !== undefined, duty, counterparty !== undefined]).toEqual([true, undefined, true]);
  }
  // Each is proved, came back whole, or stands in the list of what is open.
  const proofs = await desk.get<OpenProofs>('/v1/open-proofs');
  const unproved = sent.filter(({ evidence, reversed }) => evidence.proof === undefined && reversed !== true);
  expect(proofs.items.map(({ movementId }) => movementId).sort()).toEqual(unproved.map(({ id }) => id).sort());
  expect(proofs.items.every(({ counterparty, document }) => counterparty !== undefined && document !== undefined)).toBe(
    true,
  );
  for (const { occurredAt, daysOpen, overdue } of proofs.items) {
    expect(daysOpen).toBe(Math.floor((Date.parse(proofs.at) - Date.parse(occurredAt)) / 86_400_000));
    expect(overdue).toBe(Date.parse(proofs.at) - Date.parse(occurredAt) > proofs.dueAfterDays * 86_400_000);
  }
  expect(proofs.recipients.reduce((sum, { open }) => sum + open, 0)).toBe(proofs.items.length);
  const { items } = await desk.get<{ items: { links: string[] }[] }>('/v1/attention?code=proof-missing');
  expect(items.length).toBe(proofs.items.filter(({ overdue }) => overdue).length);
  // Of one dispatch one container was refused and one was lost: proof, return and loss agree.
  const short = desk.at('shortArrival');
  const dispatch = await desk.get<Movement>(`/v1/movements/${short.movementId}`);
  const { sent: all, arrived, refused, short: lacking } = dispatch.proofDiscrepancy ?? {};
  expect(all).toEqual(dispatch.litres);
  expect(micro(arrived ?? { value: 0 }) + micro(refused ?? { value: 0 }) + micro(lacking ?? { value: 0 })).toBe(
    micro(dispatch.litres),
  );
  const back = await desk.get<Movement>(`/v1/movements/${short.returnId}`);
  expect(back.returnedFrom?.movements.map(({ movementId }) => movementId)).toEqual([short.movementId]);
  expect(back.litres).toEqual(refused);
  const lost = await desk.get<Movement>(`/v1/movements/${short.lossId}`);
  expect(lost).toMatchObject({ lostFrom: short.movementId, reasonCode: 'breakage', litres: lacking });
  const report = await desk.reportOf(short);
  expect(report.losses.filter(({ operationId }) => operationId === short.lossId)).toMatchObject([
    { line: 'transit-loss', reasonCode: 'breakage' },
  ]);
  expect(await desk.get('/v1/attention?code=arrival-differs')).toMatchObject({ items: [] });
  const open = await desk.all<{ state: string }>('/v1/transits?state=on-the-way');
  expect(open.every(({ state }) => state === 'on-the-way')).toBe(true);
});

test('15: a correction: the earlier figure, who, when, why, and in which return', async () => {
  for (const name of ['earlierCorrection', 'earlierDifference'] as const) {
    const { correctionId, operationId, ...place } = desk.at(name);
    const report = await desk.reportOf(place);
    const entries = report.corrections.filter((each) => each.operationId === correctionId);
    expect(entries.length).toBeGreaterThan(0);
    expect(entries[0].earlierPeriodId).toBeDefined();
    // The figure as it was entered, who and when, and the report that declared it.
    const { earlier, declaredIn, recordedAt } = entries[0];
    const was = await desk.get<{ id: string; recordedAt: string; kind: string }>(
      `/v1/operations/${String(earlier?.operationId)}`,
    );
    expect([earlier?.operationId, earlier?.recordedAt, earlier?.operationKind]).toEqual([
      operationId,
      was.recordedAt,
      was.kind,
    ]);
    expect(recordedAt > String(earlier?.recordedAt)).toBe(true);
    expect(earlier?.litres.value).not.toBe(0);
    expect(declaredIn?.periodId).toBe(entries[0].earlierPeriodId);
    const declared = await desk.text(`/v1/periods/${String(declaredIn?.periodId)}/report`);
    expect(createHash('sha256').update(declared).digest('hex')).toBe(declaredIn?.reportHash);
    // Why: at the difference itself, or at the reversal that came with the right entry.
    const why =
      name === 'earlierDifference' ? entries : report.corrections.filter(({ reverses }) => reverses === operationId);
    expect(why[0].reasonCode).toMatch(/./);
    const changes = await desk.get<{ unchanged: boolean; operations: { id: string; recordedAt: string }[] }>(
      `/v1/periods/${String(entries[0].earlierPeriodId)}/changes`,
    );
    expect(changes.unchanged).toBe(false);
    expect(changes.operations.map(({ id }) => id)).toContain(correctionId);
    const original = await desk.get<{ id: string; recordedAt: string }>(`/v1/operations/${operationId}`);
    expect(original.id).toBe(operationId);
    const { trailSequence } = await desk.get<{ trailSequence: number }>(`/v1/operations/${correctionId}`);
    const trail = await desk.get<{ items: { sequence: number; body: string }[] }>('/v1/audit-trail?limit=1');
    expect(trail.items[0].sequence).toBe(1);
    const line = (await desk.text(`/v1/audit-trail/export?after=${trailSequence - 1}`)).split('\n')[0];
    expect(line).toContain('actor');
  }
});

test('16: when each entry was made, relative to its event', async () => {
  const reports = await desk.reports();
  for (const { lateEntries } of [...reports.main, ...reports.second]) {
    expect(lateEntries.afterDays).toBeGreaterThan(0);
    // Every entry of the period is in the count of working days between event and entry.
    const days = lateEntries.byWorkingDays.map(({ workingDays }) => workingDays);
    expect(days).toEqual([...new Set(days)].sort((a, b) => a - b));
    for (const { occurredAt, recordedAt, daysLate, workingDaysLate, keyId } of lateEntries.entries) {
      expect(keyId).toMatch(/./);
      expect(workingDaysLate).toBeLessThanOrEqual(daysLate + 1);
      expect(Math.floor((Date.parse(recordedAt) - Date.parse(occurredAt)) / 86_400_000)).toBe(daysLate);
      expect(daysLate).toBeGreaterThanOrEqual(lateEntries.afterDays);
    }
  }
  expect(reports.main.flatMap(({ lateEntries }) => lateEntries.entries).length).toBeGreaterThan(0);
});

test('19: everything at once, and how the program calculates', async () => {
  const fullest = desk.at('fullest');
  const path = `/v1/periods/${fullest.periodId}/report?format=zip`;
  const zip = await desk.years.service.expect(200, 'get', path, { key: desk.key });
  expect(zip.headers['content-type']).toBe('application/zip');
  const exported = (await desk.text('/v1/audit-trail/export')).trimEnd().split('\n');
  expect(exported.length).toBeGreaterThan(2_000);
  const report = await desk.report(fullest.periodId);
  const methods = readFileSync(new URL('../../docs/methods.md', import.meta.url), 'utf8');
  for (const { id } of report.versions.methods) expect(methods).toContain(id);
});

test('20: records of two years ago are readable and unchanged', async () => {
  const [first] = desk.years.landmarks.periods.main;
  const { items } = await desk.get<{ items: { id: string; report?: { hash: string } }[] }>('/v1/periods?limit=100');
  const bytes = await desk.text(`/v1/periods/${first}/report`);
  const hash = createHash('sha256').update(bytes).digest('hex');
  expect(items.find(({ id }) => id === first)?.report?.hash).toBe(hash);
  // By hand, as docs/verify-the-trail.md says: the entry after the head that the report prints holds the hash.
  const { trail } = JSON.parse(bytes) as PeriodReport;
  const [head, closing] = (await desk.text(`/v1/audit-trail/export?after=${trail.sequence - 1}`))
    .split('\n', 2)
    .map((line) => JSON.parse(line) as { entryHash: string; body: string });
  expect(head.entryHash).toBe(trail.hash);
  const { rows } = JSON.parse(closing.body) as { rows: { report: { hash: string }[] } };
  expect(rows.report.map((row) => row.hash.slice(2))).toEqual([hash]);
  const check = await desk.get<TrailCheck>('/v1/audit-trail/check');
  expect(check).toMatchObject({ holds: true, faults: [] });
  expect(check.entries).toBeGreaterThan(2_000);
});

test('an auditor reads, and writes nothing', async () => {
  const { service, landmarks } = desk.years;
  const before = await service.rowCounts();
  const refused = await service.call('post', `/v1/periods/${landmarks.openPeriods.main}/closing`, {
    key: desk.key,
    body: {},
  });
  expect(refused.status).toBe(403);
  expect(await service.rowCounts()).toEqual(before);
});

test('evidence of one operation leads to what is there', async () => {
  const { operationId } = desk.at('difference');
  const { operations } = await desk.get<OperationEvidence>(`/v1/operations/${operationId}/evidence`);
  expect(operations.map(({ id }) => id)).toContain(operationId);
  expect(total(operations.map(({ litres }) => litres))).toBe(micro(operations[0].litres));
});
