# docker build --build-arg VERSION=$(git describe --always --dirty) -t bowlwright . && docker run -d --name bowlwright --restart unless-stopped \
#   -e BOWLWRIGHT_TOKEN -v bowlwright:/data bowlwright

# By its digest the same image is taken each time: --build-arg GO=golang:1.26@sha256:...
ARG GO=golang:1.26
FROM $GO AS build
WORKDIR /src
# The modules have a layer of their own, which changes seldom.
COPY go.mod go.sum ./
RUN go mod download
COPY . .
# The repository is not here to tell the version.
ARG VERSION
RUN CGO_ENABLED=0 go build -trimpath -ldflags="-s -w -X main.stamped=$VERSION" -o /out/bowlwright ./cmd/bowlwright \
 && mkdir /out/root && mkdir -m 0700 /out/root/data /out/root/tmp

# Nothing but the program: its zone database is compiled in.
FROM scratch
COPY --from=build /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/
COPY --from=build /out/bowlwright /bowlwright
# A volume takes the owner and the mode of the directory that it is made on.
# /data comes as a part of what is copied: not every builder gives a mode to
# the directory that a copy is made into. "chat --scratch" keeps its file in
# /tmp.
COPY --from=build --chown=65532:65532 /out/root/ /
USER 65532:65532
ENV BOWLWRIGHT_DATA=/data BOWLWRIGHT_HEALTH=127.0.0.1:8081 BOWLWRIGHT_LOG=json
VOLUME /data
ARG VERSION
LABEL org.opencontainers.image.version=$VERSION
# The program needs at most 8 seconds to end; docker stop waits for 10.
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=5s --start-period=10s --retries=3 CMD ["/bowlwright", "health"]
ENTRYPOINT ["/bowlwright"]
CMD ["serve"]
