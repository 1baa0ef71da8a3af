import reactHooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

// These differ between JavaScript engines in the last digit, so an assessment would hash differently in a browser.
const ENGINE_DEPENDENT = ['sin', 'cos', 'tan', 'asin', 'acos', 'atan', 'atan2', 'exp', 'expm1', 'log', 'log1p', 'log2', 'log10'];
const ENGINE_DEPENDENT_TOO = ['cbrt', 'sinh', 'cosh', 'tanh', 'asinh', 'acosh', 'atanh', 'pow', 'hypot', 'random'];

export default tseslint.config(
  { ignores: ['dist/**', 'data/**', 'coverage/**', 'src/store/generated/**', 'src/web/api/generated/**'] },
  {
    files: ['**/*.ts', '**/*.tsx'],
    extends: [tseslint.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/require-await': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      eqeqeq: ['error', 'always'],
      'no-restricted-syntax': [
        'error',
        { selector: "ExportDefaultDeclaration[declaration.type='FunctionDeclaration']", message: 'Name what you export.' },
      ],
    },
  },
  {
    files: ['src/web/**/*.ts', 'src/web/**/*.tsx'],
    plugins: { 'react-hooks': reactHooks },
    rules: { 'react-hooks/rules-of-hooks': 'error', 'react-hooks/exhaustive-deps': 'error' },
  },
  {
    files: ['src/domain/**/*.ts'],
    rules: {
      'no-restricted-properties': [
        'error',
        ...[...ENGINE_DEPENDENT, ...ENGINE_DEPENDENT_TOO].map((property) => ({
          object: 'Math',
          property,
          message: 'Differs between engines in the last digit: use src/domain/foundation/elementary.ts.',
        })),
        { object: 'Date', property: 'now', message: 'The domain has no clock: take the instant as an argument.' },
      ],
      'no-restricted-syntax': [
        'error',
        { selector: "BinaryExpression[operator='**']", message: 'Differs between engines in the last digit: multiply.' },
        { selector: "AssignmentExpression[operator='**=']", message: 'Differs between engines in the last digit: multiply.' },
        { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: 'The domain has no clock.' },
        { selector: "VariableDeclarator[init.name='Math']", message: 'Call Math functions by name, so that lint can see which.' },
      ],
      'no-restricted-globals': ['error', 'process', 'Buffer', 'setTimeout', 'fetch', 'crypto', 'performance'],
    },
  },
);
