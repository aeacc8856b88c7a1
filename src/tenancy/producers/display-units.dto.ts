import { CUSTOMARY_UNITS } from '../../platform/units/display-units.js';
import { Optional } from '../../platform/validation/field.js';
import { IsOneOf } from '../../platform/validation/fields.js';

/** Units in which people of the producer read, each beside L, kg, °C or bar. */
export class ProducerDisplayUnits {
  @Optional()
  @IsOneOf(CUSTOMARY_UNITS.volume, { example: '[gal_us]' })
  volume?: string;

  @Optional()
  @IsOneOf(CUSTOMARY_UNITS.mass, { example: '[lb_av]' })
  mass?: string;

  @Optional()
  @IsOneOf(CUSTOMARY_UNITS.temperature, { example: '[degF]' })
  temperature?: string;

  @Optional()
  @IsOneOf(CUSTOMARY_UNITS.pressure, { example: '[psi]' })
  pressure?: string;
}
