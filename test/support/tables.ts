/** Plain records, which the application itself inserts and updates; any table that is not named here is held to more. */
export const SETTINGS: readonly string[] = [
  ...[
    'api_key',
    'calibration',
    'duty_rule_set',
    'instrument',
    'lot',
    'material',
    'person',
    'premises',
    'producer',
    'return_mapping',
    'tasting',
    'tasting_answer',
  ],
  ...['recipe', 'recipe_version', 'vessel'],
];

/** State that the books' functions keep. */
export const KEPT_BY_FUNCTIONS: readonly string[] = ['balance', 'idempotency', 'personal_text', 'producer_head'];

export const isAppendOnly = (table: string): boolean => !SETTINGS.includes(table) && !KEPT_BY_FUNCTIONS.includes(table);
