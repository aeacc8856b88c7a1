# The service for a PostgreSQL that somebody else runs; see docker-compose.yml. The embedded server is left out of the image.
FROM node:20-bookworm-slim AS build
WORKDIR /app
RUN npm install --global npm@11
COPY package.json package-lock.json .npmrc prisma.config.ts tsconfig.json ./
COPY tools tools
COPY prisma prisma
COPY src src
COPY docs/glossary.md docs/glossary.md
RUN npm ci && npm prune --omit=dev --omit=optional --ignore-scripts

FROM node:20-bookworm-slim
ENV NODE_ENV=production HOST=0.0.0.0 PORT=3000
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/prisma prisma
COPY --from=build /app/docs/glossary.md docs/glossary.md
COPY --from=build /app/dist dist
USER node
EXPOSE 3000
HEALTHCHECK --interval=10s --timeout=3s --start-period=30s --retries=3 \
  CMD ["node", "-e", "fetch('http://127.0.0.1:' + process.env.PORT + '/health/ready').then((r) => process.exit(r.ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "--enable-source-maps", "dist/main.js"]
