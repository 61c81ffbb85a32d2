# docker build -t bowlwright . && docker run -d --name bowlwright --restart unless-stopped \
#   -e BOWLWRIGHT_TOKEN -v bowlwright:/data bowlwright

FROM golang:1.26 AS build
WORKDIR /src
# The modules have a layer of their own, which changes seldom.
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o /out/bowlwright ./cmd/bowlwright \
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
# The program needs at most ten seconds to end (docker stop waits that long).
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=5s --start-period=10s --retries=3 CMD ["/bowlwright", "health"]
ENTRYPOINT ["/bowlwright"]
CMD ["serve"]
