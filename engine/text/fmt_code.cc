// The code of fmt, compiled here once; fmt's headers alone would compile it in every file that prints. Debian has fmt's code
// only as a shared library, which would cost the program a part of its start.
#include <fmt/format-inl.h>

FMT_BEGIN_NAMESPACE
namespace detail {

template FMT_API auto thousands_sep_impl(locale_ref) -> thousands_sep_result<char>;
template FMT_API auto decimal_point_impl(locale_ref) -> char;
template FMT_API void vformat_to(buffer<char>&, string_view, basic_format_args<buffer_context<char>>, locale_ref);
template FMT_API void buffer<char>::append(const char*, const char*);

}  // namespace detail
FMT_END_NAMESPACE
