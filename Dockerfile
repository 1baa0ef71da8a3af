# Two stages: the first builds with the development tools, the second runs without them, as a user who is not root.
FROM node:24-slim AS build
WORKDIR /app
COPY package.json package-lock.json .npmrc tsconfig.json prisma.config.ts vite.config.ts ./
COPY prisma prisma
COPY scripts scripts
COPY src src
# npm ci also builds: the script prepare.
RUN npm ci && npm prune --omit=dev --ignore-scripts

FROM node:24-slim
ENV NODE_ENV=production HOST=0.0.0.0 PORT=3000 DATA_DIR=/var/lib/roofbook
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/prisma prisma
COPY --from=build /app/dist dist
# Without DATABASE_URL the embedded database lives here: give it a volume.
RUN mkdir /var/lib/roofbook && chown node:node /var/lib/roofbook
USER node
EXPOSE 3000
HEALTHCHECK --interval=5s --timeout=3s --start-period=30s \
  CMD ["node", "-e", "fetch('http://127.0.0.1:3000/health/ready').then((answer) => process.exit(answer.ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "--enable-source-maps", "--max-semi-space-size=64", "dist/main.js"]
