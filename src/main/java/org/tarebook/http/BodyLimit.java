package org.tarebook.http;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.lang.reflect.Type;
import org.jspecify.annotations.Nullable;
import org.springframework.core.MethodParameter;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpInputMessage;
import org.springframework.http.converter.HttpMessageConverter;
import org.springframework.web.bind.annotation.RestControllerAdvice;
import org.springframework.web.servlet.mvc.method.annotation.RequestBodyAdviceAdapter;

/** Stops reading a body that is one document as soon as it is longer than any fact is. */
@RestControllerAdvice
class BodyLimit extends RequestBodyAdviceAdapter {

  /** The longest document taken, in bytes. */
  static final long LONGEST = 1 << 20;

  @Override
  public boolean supports(
      MethodParameter parameter,
      Type targetType,
      Class<? extends HttpMessageConverter<?>> converterType) {
    return true;
  }

  @Override
  public HttpInputMessage beforeBodyRead(
      HttpInputMessage message,
      MethodParameter parameter,
      Type targetType,
      Class<? extends HttpMessageConverter<?>> converterType)
      throws IOException {
    if (message.getHeaders().getContentLength() > LONGEST) {
      throw tooLarge();
    }
    InputStream limited = new Limited(message.getBody());
    return new HttpInputMessage() {
      @Override
      public InputStream getBody() {
        return limited;
      }

      @Override
      public HttpHeaders getHeaders() {
        return message.getHeaders();
      }
    };
  }

  @Override
  public @Nullable Object handleEmptyBody(
      @Nullable Object body,
      HttpInputMessage message,
      MethodParameter parameter,
      Type targetType,
      Class<? extends HttpMessageConverter<?>> converterType) {
    return body;
  }

  private static Problem tooLarge() {
    return new Problem(
        ProblemType.TOO_LARGE,
        "The document is longer than "
            + LONGEST
            + " bytes. Many readings go as NDJSON or CSV to /api/v1/readings/bulk.");
  }

  private static final class Limited extends FilterInputStream {
    private long left = LONGEST;

    Limited(InputStream body) {
      super(body);
    }

    @Override
    public int read() throws IOException {
      int one = super.read();
      count(one < 0 ? 0 : 1);
      return one;
    }

    @Override
    public int read(byte[] buffer, int offset, int length) throws IOException {
      int some = super.read(buffer, offset, length);
      count(Math.max(some, 0));
      return some;
    }

    private void count(int bytes) {
      left -= bytes;
      if (left < 0) {
        throw tooLarge();
      }
    }
  }
}
