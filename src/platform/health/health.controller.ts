import { Controller, Get } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProperty, ApiTags } from '@nestjs/swagger';
import { Access } from '../access.js';
import { Problems } from '../openapi/problems.decorator.js';
import { ProblemException } from '../problems/problem.exception.js';
import { Readiness } from './readiness.js';

class Liveness {
  @ApiProperty({ type: 'string', enum: ['live'] })
  status!: 'live';
}

class ReadinessAnswer {
  @ApiProperty({ type: 'string', enum: ['ready'] })
  status!: 'ready';

  @ApiProperty({
    type: 'object',
    additionalProperties: { type: 'string', enum: ['up', 'down'] },
    maxProperties: 20,
    description: 'The parts that were asked.',
    example: { database: 'up' },
  })
  checks!: Record<string, 'up' | 'down'>;
}

@ApiTags('Health')
@Access('public')
@Controller('health')
export class HealthController {
  constructor(private readonly readiness: Readiness) {}

  @Get('live')
  @ApiOperation({
    summary: 'Is the process alive',
    description: 'Answers as long as the process runs; asks nothing else.',
  })
  @ApiOkResponse({ type: Liveness, description: 'It is.' })
  getLiveness(): Liveness {
    return { status: 'live' };
  }

  @Get('ready')
  @ApiOperation({
    summary: 'Can it take work',
    description: 'Asks every part that the service needs, such as the database.',
  })
  @ApiOkResponse({ type: ReadinessAnswer, description: 'It can.' })
  @Problems('service-unavailable')
  async getReadiness(): Promise<ReadinessAnswer> {
    const { ready, checks } = await this.readiness.report();
    if (!ready) {
      throw new ProblemException('service-unavailable', 'The service is starting, stopping, or lacks a part.', {
        members: { checks },
      });
    }
    return { status: 'ready', checks };
  }
}
