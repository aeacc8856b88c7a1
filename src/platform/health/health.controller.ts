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
    description: 'State of each part.',
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
    summary: 'State of the process',
    description: 'Answers as long as the process runs. It checks nothing else.',
  })
  @ApiOkResponse({ type: Liveness, description: 'The process runs.' })
  getLiveness(): Liveness {
    return { status: 'live' };
  }

  @Get('ready')
  @ApiOperation({
    summary: 'Readiness for requests',
    description: 'Checks every part that the service needs, such as the database.',
  })
  @ApiOkResponse({ type: ReadinessAnswer, description: 'Every part is ready.' })
  @Problems('service-unavailable')
  async getReadiness(): Promise<ReadinessAnswer> {
    const { ready, checks } = await this.readiness.report();
    if (!ready) {
      throw new ProblemException(
        'service-unavailable',
        'The service is starting or stopping, or a part is not ready.',
        {
          members: { checks },
        },
      );
    }
    return { status: 'ready', checks };
  }
}
