import type { LoggerService } from '@nestjs/common';
import type { Logger } from 'pino';
import { pino } from 'pino';
import type { LogLevel } from './config.js';

const REDACTED = [
  'authorization',
  'cookie',
  'key',
  'headers.authorization',
  'headers.cookie',
  'req.headers.authorization',
  'req.headers.cookie',
  'err.config',
  '*.password',
  '*.secret',
];

/** The program's log: one JSON line an event, without keys. */
export function createLogger(level: LogLevel): Logger {
  return pino({
    level,
    base: undefined,
    timestamp: pino.stdTimeFunctions.isoTime,
    redact: { paths: REDACTED, censor: '[redacted]' },
  });
}

/** Nest's own messages through the same log; its start-up chatter is for debugging. */
export class NestLog implements LoggerService {
  constructor(private readonly logger: Logger) {}

  log(message: unknown, context?: string): void {
    this.logger.debug({ context }, String(message));
  }

  error(message: unknown, ...rest: unknown[]): void {
    const err = message instanceof Error ? message : undefined;
    this.logger.error({ err, context: rest.at(-1) }, String(message));
  }

  warn(message: unknown, context?: string): void {
    this.logger.warn({ context }, String(message));
  }

  debug(message: unknown, context?: string): void {
    this.logger.debug({ context }, String(message));
  }

  verbose(message: unknown, context?: string): void {
    this.logger.trace({ context }, String(message));
  }

  fatal(message: unknown, context?: string): void {
    this.logger.fatal({ context }, String(message));
  }
}
