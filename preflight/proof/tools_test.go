package proof

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// needTool skips a test when a reference tool is not installed; in CI it fails.
func needTool(t *testing.T, names ...string) string {
	t.Helper()
	for _, n := range names {
		if p, err := exec.LookPath(n); err == nil {
			return p
		}
	}
	msg := fmt.Sprintf("needs %s (Debian packages chromium, poppler-utils)", strings.Join(names, " or "))
	if os.Getenv("CI") != "" {
		t.Fatal(msg)
	}
	t.Skip(msg)
	return ""
}

// browser is a headless Chromium that watches what a page does.
type browser struct {
	ctx  context.Context
	dir  string
	mu   sync.Mutex
	said []string // console messages and requests beyond the file itself
}

func openBrowser(t *testing.T) *browser {
	path := needTool(t, "chromium", "chromium-browser", "google-chrome")
	if testing.Short() {
		t.Skip("starts a browser")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-sync", true))
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, opts...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := &browser{ctx: ctx, dir: t.TempDir()}
	require.NoError(t, chromedp.Listen(ctx, func(ev any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch ev := ev.(type) {
		case *network.EventRequestWillBeSent:
			if u := ev.Request.URL; !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "file:") {
				b.said = append(b.said, "asks for "+u)
			}
		case *runtime.EventConsoleAPICalled:
			b.said = append(b.said, "console "+string(ev.Type))
		case *runtime.EventExceptionThrown:
			b.said = append(b.said, "exception "+ev.ExceptionDetails.Text)
		}
	}))
	return b
}

// load opens a page at a width, light or dark.
func (b *browser) load(t *testing.T, doc *Document, width int64, dark bool) {
	t.Helper()
	file := filepath.Join(b.dir, "page.html")
	out, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, doc.HTML(out))
	require.NoError(t, out.Close())
	b.scheme(t, dark)
	require.NoError(t, chromedp.Do(b.ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+file)))
	run[bool](t, b, `document.fonts.ready.then(() => true)`)
}

// run evaluates an expression in the page; a promise is waited for.
func run[T any](t *testing.T, b *browser, js string) T {
	t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return v
}

// scheme asks for light or dark pages.
func (b *browser) scheme(t *testing.T, dark bool) {
	t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	require.NoError(t, err)
}
