package sender

import (
	"bytes"
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/ecdh"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/push"
)

var b64 = base64.RawURLEncoding

func bytesOf(t *testing.T, text string) []byte {
	t.Helper()
	raw, err := b64.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// read decrypts the body of a push message as a browser does, by RFC 8291 (3.4) and RFC 8188
// (2.1), with nothing of what encrypts it here.
func read(t *testing.T, own *ecdh.PrivateKey, secret, body []byte) []byte {
	t.Helper()
	const head = 16 + 4 + 1
	salt, size, length := body[:16], binary.BigEndian.Uint32(body[16:20]), int(body[20])
	sender, err := ecdh.P256().NewPublicKey(body[head : head+length])
	if err != nil || int(size) < len(body)-head-length {
		t.Fatal(size, err)
	}
	shared, err := own.ECDH(sender)
	if err != nil {
		t.Fatal(err)
	}
	derive := func(secret, salt []byte, info string, length int) []byte {
		out, err := hkdf.Key(sha256.New, secret, salt, info, length)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	keyed := derive(shared, secret, "WebPush: info\x00"+string(own.PublicKey().Bytes())+string(sender.Bytes()), 32)
	block, err := aes.NewCipher(derive(keyed, salt, "Content-Encoding: aes128gcm\x00", 16))
	if err != nil {
		t.Fatal(err)
	}
	seal, err := cipher.NewGCM(block)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := seal.Open(nil, derive(keyed, salt, "Content-Encoding: nonce\x00", 12), body[head+length:], nil)
	if err != nil {
		t.Fatal(err)
	}
	plain = bytes.TrimRight(plain, "\x00")
	if len(plain) == 0 || plain[len(plain)-1] != 2 {
		t.Fatal("the last record has no delimiter")
	}
	return plain[:len(plain)-1]
}

// The reader of these tests reads the published example (RFC 8291, section 5).
func TestTheReaderOfTheTests(t *testing.T) {
	own, err := ecdh.P256().NewPrivateKey(bytesOf(t, "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"))
	if err != nil {
		t.Fatal(err)
	}
	body := bytesOf(t, "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN")
	if got := read(t, own, bytesOf(t, "BTBZMqHH6r4Tts7J_aSIgg"), body); string(got) != "When I grow up, I want to be a watermelon" {
		t.Errorf("%q", got)
	}
}

// phone is a browser's subscription.
type phone struct {
	own    *ecdh.PrivateKey
	secret []byte
	push.Device
}

func newPhone(t *testing.T) phone {
	t.Helper()
	own, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	secret := make([]byte, 16)
	_, _ = rand.Read(secret)
	return phone{own, secret, push.Device{Endpoint: "https://example.com/push/abc", Key: b64.EncodeToString(own.PublicKey().Bytes()), Secret: b64.EncodeToString(secret)}}
}

// service is a push service and a way to send to it.
func service(t *testing.T, handle http.HandlerFunc) *Post {
	t.Helper()
	server := httptest.NewTLSServer(handle)
	t.Cleanup(server.Close)
	roots := x509.NewCertPool()
	roots.AddCert(server.Certificate())
	return &Post{"crew@harbour.example", clientOf(&http.Transport{
		DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
			var d net.Dialer
			return d.DialContext(ctx, network, server.Listener.Addr().String())
		},
		TLSClientConfig: &tls.Config{RootCAs: roots},
	})}
}

func newKeys(t *testing.T) push.Keys {
	t.Helper()
	keys, err := push.NewKeys()
	if err != nil {
		t.Fatal(err)
	}
	return keys
}

// A message is readable for its device alone, and signed for its push service.
func TestAMessageIsForItsDevice(t *testing.T) {
	var body []byte
	var head http.Header
	post := service(t, func(w http.ResponseWriter, r *http.Request) {
		body, _ = io.ReadAll(r.Body)
		head = r.Header
		w.WriteHeader(http.StatusCreated)
	})
	keys, to := newKeys(t), newPhone(t)
	for _, text := range []string{`{"title":"Clock"}`, strings.Repeat("ä", push.MessageMost/2)} {
		if a := post.Push(t.Context(), keys, to.Device, []byte(text)); a.Outcome != push.Sent {
			t.Fatalf("%+v", a)
		}
		if got := read(t, to.own, to.secret, body); string(got) != text {
			t.Errorf("%.60q", got)
		}
		if bytes.Contains(body, []byte("Clock")) || len(body) > 4096 {
			t.Errorf("%d bytes", len(body))
		}
	}
	if head.Get("Content-Encoding") != "aes128gcm" || head.Get("TTL") != "43200" {
		t.Errorf("%v", head)
	}
	// RFC 8292: a token of ES256 by the key that stands beside it.
	signed, key, _ := strings.Cut(strings.TrimPrefix(head.Get("Authorization"), "vapid t="), ", k=")
	parts := strings.Split(signed, ".")
	if key != keys.Public || len(parts) != 3 {
		t.Fatalf("%q", head.Get("Authorization"))
	}
	signature, sum := bytesOf(t, parts[2]), sha256.Sum256([]byte(parts[0]+"."+parts[1]))
	whose, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), bytesOf(t, key))
	if err != nil {
		t.Fatal(err)
	}
	if !ecdsa.Verify(whose, sum[:], new(big.Int).SetBytes(signature[:32]), new(big.Int).SetBytes(signature[32:])) {
		t.Error("the signature is wrong")
	}
	var claims struct {
		Aud, Sub string
		Exp      int64
	}
	if err := json.Unmarshal(bytesOf(t, parts[1]), &claims); err != nil || claims.Aud != "https://example.com" || claims.Sub != "mailto:crew@harbour.example" ||
		claims.Exp < time.Now().Unix() || claims.Exp > time.Now().Add(24*time.Hour).Unix() {
		t.Errorf("%+v, %v", claims, err)
	}
	if a := post.Push(t.Context(), keys, to.Device, make([]byte, push.MessageMost+1)); a.Outcome != push.Refused {
		t.Errorf("too long: %+v", a)
	}
}

// What a push service says decides what becomes of the message.
func TestWhatAPushServiceSays(t *testing.T) {
	keys, to := newKeys(t), newPhone(t)
	for _, one := range []struct {
		status int
		after  string
		want   push.Outcome
		wait   time.Duration
	}{
		{200, "", push.Sent, 0}, {201, "", push.Sent, 0}, {202, "", push.Sent, 0}, {404, "", push.Gone, 0}, {410, "", push.Gone, 0}, {413, "", push.Refused, 0}, {400, "", push.Refused, 0},
		{403, "", push.Refused, 0}, {429, "120", push.Later, 2 * time.Minute}, {429, "", push.Later, 0}, {429, "9999999999", push.Later, 24 * time.Hour}, {503, "60", push.Later, time.Minute}, {500, "soon", push.Later, 0}, {302, "", push.Refused, 0},
	} {
		asked := 0
		post := service(t, func(w http.ResponseWriter, _ *http.Request) {
			asked++
			w.Header().Set("Retry-After", one.after)
			w.Header().Set("Location", "https://example.com/elsewhere")
			w.WriteHeader(one.status)
			_, _ = io.WriteString(w, strings.Repeat("x", 1<<16))
		})
		a := post.Push(t.Context(), keys, to.Device, []byte("{}"))
		if a.Outcome != one.want || a.After != one.wait || asked != 1 || len(a.Said) > saidMost+10 {
			t.Errorf("%d %q: %+v, asked %d times", one.status, one.after, a, asked)
		}
	}
	// The connection ends once the message was read: nobody knows.
	post := service(t, func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.ReadAll(r.Body)
		conn, _, err := http.NewResponseController(w).Hijack()
		if err == nil {
			_ = conn.Close()
		}
	})
	if a := post.Push(t.Context(), keys, to.Device, []byte("{}")); a.Outcome != push.Perhaps {
		t.Errorf("cut: %+v", a)
	}
	// Nothing of it left: it may be sent again, and the address is in no log.
	never := &Post{"crew@harbour.example", clientOf(&http.Transport{DialContext: func(context.Context, string, string) (net.Conn, error) { return nil, errPrivate }})}
	if a := never.Push(t.Context(), keys, to.Device, []byte("{}")); a.Outcome != push.Later || strings.Contains(a.Said, "abc") {
		t.Errorf("no way: %+v", a)
	}
}

// An address that a browser gives leads to a server of the internet, or nothing is sent.
func TestAddressesAreOfTheInternet(t *testing.T) {
	good := newPhone(t).Device
	if err := takes(good); err != nil {
		t.Error(err)
	}
	for _, endpoint := range []string{
		"", "http://example.com/a", "https://127.0.0.1/a", "https://[::1]/a", "https://localhost/a", "https://example.com:8443/a", "https://user@example.com/a",
		"file:///etc/passwd", "https:example.com", "https://example.com/" + strings.Repeat("a", endpointMost), "https://2130706433/a", "https://example.com/#a",
	} {
		bad := good
		bad.Endpoint = endpoint
		if takes(bad) == nil {
			t.Errorf("%.60s is taken", endpoint)
		}
	}
	for _, change := range []func(*push.Device){
		func(d *push.Device) { d.Key = "" }, func(d *push.Device) { d.Key = d.Secret }, func(d *push.Device) { d.Secret = d.Key }, func(d *push.Device) { d.Secret = "!" },
		func(d *push.Device) { d.Key = b64.EncodeToString(append([]byte{4}, make([]byte, 64)...)) },
	} {
		bad := good
		if change(&bad); takes(bad) == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
	for _, address := range []string{
		"127.0.0.1", "10.0.0.1", "172.16.3.4", "192.168.7.20", "169.254.169.254", "100.64.0.1", "0.0.0.0", "224.0.0.1", "255.255.255.255", "198.18.0.1", "240.0.0.1",
		"::1", "::", "fe80::1", "fc00::1", "fd12::1", "ff02::1", "::ffff:127.0.0.1", "64:ff9b::7f00:1", "2002:7f00:1::", "2001:db8::1",
	} {
		if publicOnly("tcp", net.JoinHostPort(address, "443"), nil) == nil {
			t.Errorf("%s is asked", address)
		}
	}
	for _, address := range []string{"1.1.1.1", "172.32.0.1", "2606:4700::1111"} {
		if !public(netip.MustParseAddr(address)) {
			t.Errorf("%s is not asked", address)
		}
	}
	// A name of the internet that leads home is refused when it is looked up.
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = listener.Close() }()
	home := strings.Replace(listener.Addr().String(), "127.0.0.1", "localhost", 1)
	if conn, err := dialer("proxy.example:3128")(t.Context(), "tcp", home); !errors.Is(err, errPrivate) {
		t.Error("a name leads into this computer", conn, err)
	}
	// The proxy that the surroundings name may be in one's own network.
	conn, err := dialer(home)(t.Context(), "tcp", home)
	if err != nil {
		t.Fatal(err)
	}
	_ = conn.Close()
}
