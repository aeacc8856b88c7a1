-- Every table of a producer, by kind; the catalogue test fails a table that is missing here.
SELECT make_tenant_table('producer', 'settings', 'id');
SELECT make_tenant_table(t::regclass, 'settings')
  FROM unnest(ARRAY['api_key', 'person', 'premises', 'vessel', 'instrument', 'calibration', 'material', 'recipe', 'recipe_version', 'lot',
                    'duty_rule_set', 'return_mapping', 'tasting', 'tasting_answer']) AS t;
SELECT make_tenant_table(t::regclass, 'books')
  FROM unnest(ARRAY['trail_entry', 'material_lot', 'material_entry', 'account', 'operation', 'posting', 'posting_component', 'composition', 'reading',
                    'reading_strike', 'reading_confirmation', 'finding', 'finding_reading', 'packaged_lot', 'movement', 'gauge', 'stock_count', 'transit', 'container_event', 'plan', 'period', 'period_withdrawal',
                    'process_step', 'movement_proof', 'filing', 'report']) AS t;
SELECT make_tenant_table(t::regclass, 'state')
  FROM unnest(ARRAY['producer_head', 'balance', 'idempotency', 'personal_text']) AS t;

GRANT USAGE ON SCHEMA public TO gaugebook_app, gaugebook_books;
GRANT CREATE ON SCHEMA public TO gaugebook_books;
