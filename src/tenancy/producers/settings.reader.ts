import { Injectable } from '@nestjs/common';
import type { Tx } from '../producer-database/producer-database.js';
import type { SettingsInForce } from './producers.dto.js';
import { storedSettings } from './producers.dto.js';

/** Reads the producer's own settings for the features that need them. */
@Injectable()
export class SettingsReader {
  async of(tx: Tx, producerId: string): Promise<SettingsInForce> {
    return storedSettings(await tx.rowThere('producer', { id: producerId }));
  }
}
