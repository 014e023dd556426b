@echo off
rem Installs labkit from this stick, without internet, and opens the first lesson.
rem Names of folders stay in quotes: a bracket or an ampersand in one would end the line's meaning.
setlocal
set "here=%~dp0"
if not defined LABKIT_HOME set "LABKIT_HOME=%USERPROFILE%\labkit-lessons"
set "bin=%LABKIT_HOME%\.venv\Scripts"
set "from=--no-index --find-links"
set "python="
for %%v in ({{versions}}) do if not defined python py -%%v -c "" >nul 2>nul && set "python=py -%%v"
if not defined python goto :no_python
if exist "%bin%\labkit.exe" goto :copy
echo Setting up in "%LABKIT_HOME%". This takes a few minutes.
%python% -m venv "%LABKIT_HOME%\.venv" || goto :no_folder
:copy
echo Copying from the stick ...
"%bin%\python" -m pip install %from% "%here%wheels" --upgrade labkit || goto :no_fit
"%bin%\labkit" open --in "%LABKIT_HOME%" %* || goto :ended
exit /b 0
:no_python
echo Python is missing. Open READ_ME_FIRST.html on the stick: it says what to install.
goto :ended
:no_folder
echo "%LABKIT_HOME%" can't be set up. Set LABKIT_HOME to a folder of yours and start again.
goto :ended
:no_fit
echo This stick doesn't fit this laptop. READ_ME_FIRST.html says what fits.
:ended
pause
exit /b 1
