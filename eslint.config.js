import js from '@eslint/js';
import tseslint from 'typescript-eslint';
import { docstrings } from './tools/lint/docstrings.mjs';

const LINES = { skipBlankLines: true, skipComments: true };

export default tseslint.config(
  { ignores: ['dist', 'src/generated', 'node_modules', '.data'] },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['src/**/*.ts'],
    plugins: { own: { rules: { docstrings } } },
    rules: {
      'own/docstrings': 'error',
      complexity: ['error', 15],
      'max-lines': ['error', { max: 300, ...LINES }],
      'max-lines-per-function': ['error', { max: 70, ...LINES }],
      'max-params': ['error', 6],
      'no-restricted-syntax': [
        'error',
        {
          selector: 'MethodDefinition[kind="constructor"] > FunctionExpression[params.length>5]',
          message: 'A constructor takes at most five dependencies.',
        },
      ],
    },
  },
  // Tables of worked examples and of ready-made rule sets are data.
  {
    files: ['src/calculations/examples/**', 'src/excise/duty/starting-points/**', 'src/alcoholometry/tables/**'],
    rules: { 'max-lines': 'off' },
  },
  { files: ['**/*.mjs'], languageOptions: { globals: { process: 'readonly', console: 'readonly', URL: 'readonly' } } },
);
