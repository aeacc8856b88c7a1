import type { Content } from 'pdfmake/interfaces.js';
import { fixed, localTime, words } from '../render/figures-text.js';
import type { Cell } from '../render/page.js';
import { h1, table, titled } from '../render/page.js';
import type { LotRecord } from './lot-record.dto.js';

interface Computed {
  readonly volume?: { readonly value: number };
  readonly strength?: { readonly value: number };
  readonly expandedUncertainty?: { readonly value: number };
  readonly water?: { readonly value: number };
  readonly gas?: { readonly gaugePressure: { readonly value: number; readonly unit: string } };
}

/** Plans for a lot beside what carried them out. */
export function planRows({ plans, operations, lot }: LotRecord): Content[] {
  const byId = new Map(operations.map((each) => [each.id, each]));
  return plans.length === 0
    ? []
    : [
        titled(
          [h1('Plans for it, and what carried them out')],
          table(
            [
              { head: 'Planned (local)', width: 78 },
              { head: 'What', width: 64 },
              { head: 'Litres', width: 54, right: true },
              { head: '% vol', width: 40, right: true },
              { head: 'U', width: 34, right: true },
              { head: 'Besides', width: '*' },
              { head: 'Carried out by', width: 110 },
            ],
            plans.map((each): Cell[] => {
              const { volume, strength, expandedUncertainty, water, gas } = each.computed as Computed;
              const shown = (value: number | undefined): string => (value === undefined ? '' : fixed(value, 3));
              return [
                localTime(each.recordedAt, lot.timeZone),
                words(each.kind),
                shown(volume?.value),
                shown(strength?.value),
                shown(expandedUncertainty?.value),
                [
                  water === undefined ? '' : `water ${fixed(water.value, 3)} L`,
                  gas === undefined ? '' : `${fixed(gas.gaugePressure.value, 2)} ${gas.gaugePressure.unit} gauge`,
                ]
                  .filter((part) => part !== '')
                  .join(', '),
                each.operations.map((id) => `No. ${byId.get(id)?.sequence ?? id}`).join(', ') || 'nothing yet',
              ];
            }),
          ),
        ),
      ];
}
