# One image for web, worker and beat; docker-compose.yml says which process runs in it.

FROM node:22-bookworm-slim AS npm
WORKDIR /npm
COPY package.json package-lock.json ./
RUN npm ci --omit=dev --ignore-scripts --no-audit --no-fund

FROM python:3.12-slim-bookworm
RUN apt-get update \
    && apt-get install -y --no-install-recommends \
        libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 libegl1 libgles2 \
    && rm -rf /var/lib/apt/lists/*
ENV PYTHONUNBUFFERED=1 PYTHONDONTWRITEBYTECODE=1 PIP_DISABLE_PIP_VERSION_CHECK=1
# The lift's matrices are small: more threads would only take turns with the other processes.
ENV OPENBLAS_NUM_THREADS=1
WORKDIR /app

COPY requirements.txt ./
RUN pip install --no-cache-dir --no-deps --require-hashes -r requirements.txt

COPY analysis ./analysis
COPY --from=npm /npm/node_modules/@mediapipe/pose /tmp/pose
RUN python -m analysis.watch.models build --from /tmp/pose --to models && rm -r /tmp/pose

COPY manage.py ./
COPY portal ./portal
COPY templates ./templates
COPY static ./static
COPY --from=npm /npm/node_modules/tus-js-client/dist ./node_modules/tus-js-client/dist

RUN useradd --create-home --uid 10001 cagenote && install -d -o cagenote -m 700 /data /media
USER cagenote
ENV DATA_DIR=/data MEDIA_ROOT=/media
EXPOSE 8000
CMD ["python", "-m", "portal.web", "--host", "0.0.0.0", "--port", "8000"]
